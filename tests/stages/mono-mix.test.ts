import { describe, expect, it } from 'vitest';
import { MIX_FRAMES, PlainMix, VectorMix, createMonoMix } from '../../workers/stages/mono-mix.ts';
import { noise } from './signals.ts';

describe('mono mix', () => {
  const block = Array.from({ length: 6 }, (_, c) => noise(MIX_FRAMES + 7, 0.9, c + 1));

  it.each([
    ['plain', 1, new PlainMix()],
    ['plain', 2, new PlainMix()],
    ['vector', 2, new VectorMix()],
    ['the one chosen', 2, createMonoMix(2)],
    ['the one chosen', 6, createMonoMix(6)],
  ])('%s, %i channels: the weighted sum of the frames asked for', (_, count, mix) => {
    const channels = block.slice(0, count);
    const weights = [1, 0.7, -0.5, 0.25, 0.1, 2].slice(0, count);
    for (const [from, to] of [
      [0, MIX_FRAMES],
      [7, MIX_FRAMES + 7],
      [3, 4],
      [10, 16],
      [5, 5],
    ]) {
      const mono = mix.mix(channels, weights, from, to);
      expect(mono).toHaveLength(to - from);
      mono.forEach((value, i) => {
        const sum = channels.reduce((total, channel, c) => total + weights[c] * channel[from + i], 0);
        expect(Math.abs(value - sum)).toBeLessThan(1e-6);
      });
    }
  });
});
