import { describe, expect, it } from 'vitest';
import { BASS_MIDDLE_HZ, MIDDLE_TREBLE_HZ } from '../../shared/bands.ts';
import { BandSplit } from '../../workers/stages/band-split.ts';
import { type Biquad, allpass, highpass, lowpass } from '../../workers/stages/biquad.ts';
import { decibels, noise, responseAt } from './signals.ts';

/** Rates at which the analysis must be right. */
const RATES = [8000, 11_025, 16_000, 22_050, 32_000, 44_100, 48_000, 88_200, 96_000, 176_400, 192_000];

/** Smallest normal 64-bit float (IEEE 754). */
const DENORMAL = 2 ** -1022;

/** Impulse responses of the three bands; long enough for the 200 Hz filters to die away below −200 dB. */
function impulseResponses(sampleRate: number): Float64Array[] {
  const frames = Math.ceil(sampleRate * 0.1);
  const impulse = new Float32Array(frames);
  impulse[0] = 1;
  const bands = [0, 1, 2].map(() => new Float64Array(frames));
  new BandSplit(sampleRate).split(impulse, 0, frames, bands[0], bands[1], bands[2]);
  return bands;
}

function levelDb(impulse: ArrayLike<number>, frequency: number, sampleRate: number): number {
  return decibels(Math.hypot(...responseAt(impulse, frequency, sampleRate)));
}

/** A plain second-order section in direct form I, to build the crossovers in the textbook way. */
function run(section: Biquad, input: Float64Array): Float64Array {
  const output = new Float64Array(input.length);
  const { b0, b1, b2, a1, a2 } = section;
  for (let i = 0; i < input.length; i++) {
    output[i] =
      b0 * input[i] +
      b1 * (input[i - 1] ?? 0) +
      b2 * (input[i - 2] ?? 0) -
      a1 * (output[i - 1] ?? 0) -
      a2 * (output[i - 2] ?? 0);
  }
  return output;
}

describe('band split', () => {
  for (const rate of RATES) {
    it(`${rate} Hz: both branches −6.02 dB at each crossover (Linkwitz 1976)`, () => {
      const [bass, middle, treble] = impulseResponses(rate);
      // The other crossover adds its own small loss to the branches measured here: the middle is −6.02 dB minus
      // what the far filter takes, so the near branches are compared at the level of a hundredth of a decibel.
      expect(levelDb(bass, BASS_MIDDLE_HZ, rate)).toBeCloseTo(-6.0206, 3);
      expect(levelDb(middle, BASS_MIDDLE_HZ, rate)).toBeCloseTo(-6.0206, 2);
      expect(levelDb(treble, MIDDLE_TREBLE_HZ, rate)).toBeCloseTo(-6.0206, 2);
      expect(levelDb(middle, MIDDLE_TREBLE_HZ, rate)).toBeCloseTo(-6.0206, 2);
    });

    it(`${rate} Hz: the three bands sum to a flat magnitude (Linkwitz 1976)`, () => {
      const bands = impulseResponses(rate);
      const sum = bands[0].map((value, i) => value + bands[1][i] + bands[2][i]);
      for (let f = 20; f < rate / 2; f *= 1.15) expect(levelDb(sum, f, rate)).toBeCloseTo(0, 6);
    });
  }

  it('follows the fourth-order magnitudes 1 / (1 + (f/fc)⁴) and (f/fc)⁴ / (1 + (f/fc)⁴) (Linkwitz 1976)', () => {
    const rate = 192_000; // far above both crossovers, where the digital filter bends nothing
    const low = (f: number, fc: number) => 1 / (1 + (f / fc) ** 4);
    const high = (f: number, fc: number) => 1 - low(f, fc);
    const bands = impulseResponses(rate);
    for (let f = 60; f < 5000; f *= 1.3) {
      const expected = [
        low(f, BASS_MIDDLE_HZ),
        high(f, BASS_MIDDLE_HZ) * low(f, MIDDLE_TREBLE_HZ),
        high(f, BASS_MIDDLE_HZ) * high(f, MIDDLE_TREBLE_HZ),
      ];
      expected.forEach((gain, b) =>
        expect(Math.abs(levelDb(bands[b], f, rate) - decibels(gain))).toBeLessThan(0.1),
      );
    }
  });

  it('equals the textbook cascade of cookbook sections', () => {
    for (const rate of [8000, 44_100, 192_000]) {
      const signal = noise(6000, 0.8, 5);
      const exact = Float64Array.from(signal);
      const twice = (make: typeof lowpass, f: number, x: Float64Array) =>
        run(make(f, rate), run(make(f, rate), x));
      const high = twice(highpass, BASS_MIDDLE_HZ, exact);
      const expected = [
        run(allpass(MIDDLE_TREBLE_HZ, rate), twice(lowpass, BASS_MIDDLE_HZ, exact)),
        twice(lowpass, MIDDLE_TREBLE_HZ, high),
        twice(highpass, MIDDLE_TREBLE_HZ, high),
      ];
      const bands = expected.map(() => new Float64Array(signal.length));
      new BandSplit(rate).split(signal, 0, signal.length, bands[0], bands[1], bands[2]);
      bands.forEach((band, b) => {
        const worst = band.reduce((top, value, i) => Math.max(top, Math.abs(value - expected[b][i])), 0);
        expect(worst).toBeLessThan(1e-9);
      });
    }
  });

  it('stays bounded where the upper crossover would lie above half the rate', () => {
    for (const rate of [2000, 4000, 5000]) {
      const bands = [0, 1, 2].map(() => new Float64Array(rate));
      new BandSplit(rate).split(noise(rate, 1, 9), 0, rate, bands[0], bands[1], bands[2]);
      expect(bands.every((band) => band.every((value) => Math.abs(value) < 4))).toBe(true);
      const sum = impulseResponses(rate);
      const total = sum[0].map((value, i) => value + sum[1][i] + sum[2][i]);
      expect(levelDb(total, rate / 5, rate)).toBeCloseTo(0, 6);
    }
  });

  it('holds no denormal numbers after silence', () => {
    const rate = 44_100;
    const split = new BandSplit(rate);
    const hop = 221;
    const bands = [0, 1, 2].map(() => new Float64Array(hop));
    const step = (input: Float32Array) => {
      split.split(input, 0, hop, bands[0], bands[1], bands[2]);
      split.settle();
    };
    for (let i = 0; i < 10; i++) step(noise(hop, 1, i));
    const silence = new Float32Array(hop);
    for (let i = 0; i < 400; i++) {
      step(silence);
      const slow = bands.flatMap((band) => [...band]).filter((v) => v !== 0 && Math.abs(v) < DENORMAL);
      expect(slow).toEqual([]);
    }
    for (const band of bands) expect(band.every((value) => value === 0)).toBe(true);
  });
});
