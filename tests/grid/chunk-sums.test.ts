import { describe, expect, it } from 'vitest';
import { CHUNK_NUMBERS, ChunkSums } from '../../workers/stages/grid/chunk-sums.ts';
import { noise } from '../stages/signals.ts';

function sumsOf(size: number, samples: Float32Array, pieces: number[], plain = false): number[] {
  const sums = new ChunkSums(size, plain);
  const all: number[] = [];
  for (let from = 0, n = 0; from < samples.length; n++) {
    const to = Math.min(samples.length, from + pieces[n % pieces.length]);
    sums.push(samples.slice(from, to), (numbers, chunks) =>
      all.push(...numbers.subarray(0, chunks * CHUNK_NUMBERS)),
    );
    from = to;
  }
  return all;
}

describe.each([1, 2, 3, 4, 5, 7, 8, 9, 11, 12])('sums over chunks of %i', (size) => {
  const samples = noise(9_001, 0.9, size);

  it.each([false, true])('equal the sums written out (plain: %s)', (plain) => {
    const all = sumsOf(size, samples, [3000, 1, 5000], plain);
    expect(all).toHaveLength(Math.floor(samples.length / size) * CHUNK_NUMBERS);
    const at = (i: number) => samples[i] ?? 0;
    for (let chunk = 0; chunk < all.length / CHUNK_NUMBERS; chunk++) {
      let [presence, air, rising, total] = [0, 0, 0, 0];
      for (let k = 0, i = chunk * size; k < size; k++, i++) {
        presence += (at(i) - at(i - 1)) ** 2;
        air += (at(i) - 2 * at(i - 1) + at(i - 2)) ** 2;
        rising += (at(i) * (k + 0.5)) / size;
        total += at(i);
      }
      [presence, air, rising, total].forEach((value, n) =>
        expect(Math.abs(all[chunk * CHUNK_NUMBERS + n] - value)).toBeLessThan(2e-5),
      );
    }
  });

  it('do not depend on how the samples are cut up', () => {
    const whole = sumsOf(size, samples, [samples.length]);
    for (const pieces of [[1], [2, 3], [4096], [4097, 1]])
      expect(sumsOf(size, samples, pieces)).toEqual(whole);
  });
});
