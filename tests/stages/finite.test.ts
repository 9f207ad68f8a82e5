import { expect, it } from 'vitest';
import { createKeepFinite, keepFinite } from '../../workers/stages/finite.ts';

it.each([
  ['plain', keepFinite],
  ['the one the analysis uses', createKeepFinite()],
])('replaces what is not a finite number by 0, and nothing else (%s)', (_, keep) => {
  const block = [
    Float32Array.of(1, NaN, -2, Infinity, 3.4e38),
    Float32Array.of(-0, -Infinity, 1e-40, 0.5, -3.4e38),
  ];
  const before = block.map((channel) => channel.slice());
  expect(keep(block)).toBe(3);
  block.forEach((channel, c) =>
    channel.forEach((value, i) => expect(value).toBe(Number.isFinite(before[c][i]) ? before[c][i] : 0)),
  );
  expect(keep(block)).toBe(0);
  for (const length of [11, 4096, 10_001]) {
    for (const at of [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, length - 1]) {
      for (const bad of [-Infinity, Infinity, NaN, -NaN]) {
        const channel = new Float32Array(length).fill(0.5);
        channel[at] = bad;
        expect(keep([channel])).toBe(1);
        expect(channel.every((value, i) => value === (i === at ? 0 : 0.5))).toBe(true);
      }
    }
  }
  expect(keep([new Float32Array(0)])).toBe(0);
});
