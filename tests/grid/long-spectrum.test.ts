import { describe, expect, test } from 'vitest';
import { LongSpectrum, magnitudes } from '../../workers/stages/grid/long-spectrum.ts';
import { seededRandom } from '../stages/signals.ts';

/** By the definition of the discrete Fourier transform. */
function plainMagnitudes(curve: Float32Array, size: number): number[] {
  return Array.from({ length: size / 2 + 1 }, (_, k) => {
    let [re, im] = [0, 0];
    curve.forEach((x, n) => {
      re += x * Math.cos((2 * Math.PI * k * n) / size);
      im -= x * Math.sin((2 * Math.PI * k * n) / size);
    });
    return Math.sqrt(re * re + im * im);
  });
}

describe('the long spectrum', () => {
  test.each([
    [3, 4],
    [8, 8],
    [50, 64],
    [200, 512],
  ])('of %i values padded to %i has the magnitudes of the definition', (length, size) => {
    const random = seededRandom(length);
    const curve = Float32Array.from({ length }, () => random() - 0.5);
    const found = magnitudes(curve, size);
    expect(found).toHaveLength(size / 2 + 1);
    plainMagnitudes(curve, size).forEach((wanted, k) => expect(found[k]).toBeCloseTo(wanted, 5));
  });

  test('has its strongest comb at the rate of a train of clicks, finer than its bins', () => {
    const hop = 0.01;
    const seconds = 300;
    const hz = 2.0437;
    const curve = new Float32Array(seconds / hop);
    for (let n = 0; n / hz < seconds - hop; n++) curve[Math.round(n / hz / hop)] = 1;
    const { hz: found } = new LongSpectrum(curve, hop).refine(2.04, 0.01);
    expect(Math.abs(found - hz)).toBeLessThan(1 / seconds / 20);
  });
});
