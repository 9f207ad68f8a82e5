import { expect, it } from 'vitest';
import { keepFinite } from '../../workers/stages/finite.ts';

it('replaces what is not a finite number by 0, and nothing else', () => {
  const block = [
    Float32Array.of(1, NaN, -2, Infinity, 3.4e38),
    Float32Array.of(-0, -Infinity, 1e-40, 0.5, -3.4e38),
  ];
  const before = block.map((channel) => channel.slice());
  expect(keepFinite(block)).toBe(3);
  block.forEach((channel, c) =>
    channel.forEach((value, i) => expect(value).toBe(Number.isFinite(before[c][i]) ? before[c][i] : 0)),
  );
  expect(keepFinite(block)).toBe(0);
  for (let at = 0; at < 11; at++) {
    const channel = new Float32Array(11).fill(0.5);
    channel[at] = -Infinity;
    expect(keepFinite([channel])).toBe(1);
    expect(channel[at]).toBe(0);
  }
});
