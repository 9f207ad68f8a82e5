import { describe, expect, it } from 'vitest';
import { FLAT_TAPS, halfBand, kaiserTaps } from '../../workers/stages/half-band.ts';
import { Halver, type HalvingFilter } from '../../workers/stages/halver.ts';
import { noise } from './signals.ts';

const FILTERS: [string, HalvingFilter][] = [
  ['flat half-band', halfBand(FLAT_TAPS)],
  ['steep half-band', halfBand(kaiserTaps(8, 5))],
  ['shortest half-band', halfBand([0.25])],
  ['even length', { taps: Float64Array.of(1, 5, 10, 10, 5, 1).map((c) => c / 32), lead: 2, tail: 6 }],
];

function halved(filter: HalvingFilter, samples: Float32Array, pieces: number[], plain = false): number[] {
  const output: number[] = [];
  const halver = new Halver(filter, (made) => output.push(...made), plain);
  for (let from = 0, n = 0; from < samples.length; n++) {
    const to = Math.min(samples.length, from + pieces[n % pieces.length]);
    halver.push(samples.slice(from, to));
    from = to;
  }
  halver.finish();
  return output;
}

describe.each(FILTERS)('halver, %s', (_, filter) => {
  const samples = noise(20_001, 0.9, 1);

  it.each([false, true])('equals the sum written out (plain: %s)', (plain) => {
    const output = halved(filter, samples, [3000, 1, 9000], plain);
    const reach = samples.length + filter.lead + filter.tail - filter.taps.length;
    expect(output).toHaveLength(Math.floor(reach / 2) + 1);
    output.forEach((value, k) => {
      let sum = 0;
      filter.taps.forEach((tap, j) => (sum += tap * (samples[2 * k + j - filter.lead] ?? 0)));
      expect(Math.abs(value - sum)).toBeLessThan(1e-6);
    });
  });

  it('does not depend on how the samples are cut up', () => {
    const whole = halved(filter, samples, [samples.length]);
    for (const pieces of [[1], [2, 3], [4096], [4097, 1]])
      expect(halved(filter, samples, pieces)).toEqual(whole);
  });

  it('passes a steady level unchanged', () => {
    const output = halved(filter, new Float32Array(200).fill(0.5), [64]);
    for (const value of output.slice(20, -20)) expect(value).toBeCloseTo(0.5, 6);
  });
});
