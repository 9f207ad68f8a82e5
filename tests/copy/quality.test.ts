/**
 * The resampler and the dither, measured the way AES17 measures converters: a 997 Hz sine at −1 dBFS, tones over
 * the band, and what stands beside them.
 */
import { describe, expect, it } from 'vitest';
import { Resampler } from '../../workers/copy/resample.ts';
import { Random } from '../../workers/copy/random.ts';
import { Quantiser } from '../../workers/copy/quantise.ts';
import { fitSine, fromDb, sine, throughCopy } from './support.ts';

const RATES = [
  [44100, 48000],
  [48000, 44100],
  [88200, 44100],
  [96000, 48000],
  [96000, 44100],
  [192000, 44100],
  [22050, 44100],
  [32000, 48000],
] as const;

function resampled(x: Float32Array, from: number, to: number, block = x.length): Float32Array {
  const resampler = new Resampler(from, to, 1);
  const parts: Float32Array[] = [];
  for (let i = 0; i < x.length; i += block) parts.push(resampler.push([x.subarray(i, i + block)])[0]);
  parts.push(resampler.finish()[0]);
  return Float32Array.from(parts.flatMap((p) => [...p]));
}

/** Frames at each end in which the filter rings at the signal's sudden start and end. */
const EDGE = 600;

describe.each(RATES)('resampling %i Hz to %i Hz', (from, to) => {
  const seconds = 0.5;
  const measure = (frequency: number, level: number) => {
    const y = resampled(sine(frequency, fromDb(level), from, from * seconds), from, to);
    return fitSine(y, frequency, to, EDGE, y.length - EDGE);
  };

  it('keeps a 997 Hz sine at −1 dBFS: level, time, and nothing beside it above −140 dBFS', () => {
    const { amplitudeDb, phase, restDb } = measure(997, -1);
    expect(amplitudeDb).toBeCloseTo(-1, 5);
    expect(Math.abs(phase)).toBeLessThan(1e-6);
    expect(restDb).toBeLessThan(-140);
  });

  it('is flat to 0.001 dB from 20 Hz to the band’s end, without images above −120 dBFS', () => {
    const top = Math.min(from, to) * (20000 / 44100);
    for (let frequency = 20; frequency < top; frequency *= 1.19) {
      const { amplitudeDb, restDb } = measure(frequency, -1);
      expect(Math.abs(amplitudeDb + 1), `${frequency} Hz`).toBeLessThan(0.001);
      expect(restDb, `${frequency} Hz`).toBeLessThan(-120);
    }
    const end = measure(Math.min(20000, top), -1);
    expect(Math.abs(end.amplitudeDb + 1)).toBeLessThan(0.001);
    expect(end.restDb).toBeLessThan(-120);
  });

  it.skipIf(from <= to)('lets nothing of a tone above the new band through (alias under −120 dBFS)', () => {
    for (let frequency = to / 2 + 10; frequency < from / 2; frequency *= 1.13) {
      const y = resampled(sine(frequency, fromDb(-1), from, from * seconds), from, to);
      let power = 0;
      for (let i = EDGE; i < y.length - EDGE; i++) power += y[i] ** 2;
      const db = 10 * Math.log10(power / (y.length - 2 * EDGE) / 0.5);
      expect(db, `${frequency} Hz`).toBeLessThan(-120);
    }
  });

  it('does not depend on the blocks, keeps the length, and passes a constant', () => {
    const x = Float32Array.from({ length: 5003 }, (_, i) => Math.sin(i * i * 1e-4) * 0.5 + 0.25);
    const whole = resampled(x, from, to);
    expect(whole.length).toBe(Math.ceil((x.length * to) / from));
    for (const block of [1, 7, 441, 4096]) expect(resampled(x, from, to, block)).toEqual(whole);
    const one = resampled(new Float32Array(6000).fill(0.5), from, to);
    const middle = one.subarray(EDGE, one.length - EDGE);
    expect(Math.max(...middle.map((v) => Math.abs(v - 0.5)))).toBeLessThan(1e-6);
  });
});

it('a click stays where it is in time', () => {
  const x = new Float32Array(9600);
  x[4800] = 0.9;
  const y = resampled(x, 96000, 48000);
  expect(y.indexOf(Math.max(...y))).toBe(2400);
});

describe('dither', () => {
  /**
   * Two uniform numbers of one step q each have together q²/6, rounding adds q²/12: q²/4. Against a full-scale
   * sine (power 1/2) with q = 2^−15 that is 10·log10(2^−32 / 2^−1) = −93.32 dBFS, with q = 2^−23 −141.48 dBFS.
   */
  const theory = (depth: number) => 10 * Math.log10((2 ** (1 - depth)) ** 2 / 4 / 0.5);

  it.each([
    [16, -93.32],
    [24, -141.48],
  ] as const)('of %i bits leaves noise of %f dBFS under a 997 Hz sine', async (depth, wanted) => {
    expect(theory(depth)).toBeCloseTo(wanted, 2);
    // A sine below the ceiling: no gain.
    const x = sine(997, fromDb(-1), 44100, 2 * 44100);
    const wish = { container: 'wav', depth, rate: 44100 } as const;
    const { samples, report } = await throughCopy([x], 44100, wish);
    expect(report).toMatchObject({ kind: 'converted', dithered: true, gainDb: 0, clipped: 0 });
    const { amplitudeDb, restDb } = fitSine(samples[0], 997, 44100, 0, samples[0].length);
    expect(amplitudeDb).toBeCloseTo(-1, 3);
    // The float samples themselves are exact to about −150 dBFS. 88 200 values: the power is known to 0.05 dB.
    expect(Math.abs(restDb - wanted)).toBeLessThan(0.3);
  });

  it('keeps a tone of −100 dBFS, which rounding alone would erase', async () => {
    const x = sine(997, fromDb(-100), 44100, 4 * 44100);
    const wish = { container: 'wav', depth: 16, rate: 44100 } as const;
    const { samples } = await throughCopy([x], 44100, wish);
    const { amplitudeDb } = fitSine(samples[0], 997, 44100, 0, samples[0].length);
    expect(Math.abs(amplitudeDb + 100)).toBeLessThan(0.5);
    const plain = new Quantiser({ depth: 16, container: 'wav', gain: 1, dither: false, seed: 1 });
    expect(plain.push([x]).every((byte) => byte === 0)).toBe(true);
    // No harmonics: each of the next ones stays within the noise of one bin (−93.3 − 10·log10(88 200) ≈ −143 dBFS).
    for (let n = 2; n < 12; n++) {
      expect(fitSine(samples[0], 997 * n, 44100, 0, samples[0].length).amplitudeDb).toBeLessThan(-125);
    }
  });

  it('is the same for the same seed, another for another, and of its own for each channel', async () => {
    const x = sine(997, 0.3, 44100, 4000);
    const wish = { container: 'wav', depth: 16, rate: 44100 } as const;
    const [a, b, c] = await Promise.all([1, 1, 2].map((seed) => throughCopy([x, x], 44100, wish, { seed })));
    expect(a.samples).toEqual(b.samples);
    expect(a.samples).not.toEqual(c.samples);
    expect(a.samples[0]).not.toEqual(a.samples[1]);
  });

  it('comes from numbers that are even, uncorrelated and triangular when subtracted', () => {
    const random = new Random(7);
    const n = 400_000;
    let [mean, square, lag, before] = [0, 0, 0, 0];
    let inner = 0;
    for (let i = 0; i < n; i++) {
      const value = (random.bits() - random.bits()) / 2 ** 32;
      mean += value / n;
      square += value ** 2 / n;
      lag += (value * before) / n;
      before = value;
      if (Math.abs(value) < 0.5) inner += 1 / n;
    }
    // Triangle on (−1, 1): variance 1/6, three quarters within ±1/2. Bounds are five standard errors.
    expect(Math.abs(mean)).toBeLessThan(5 * Math.sqrt(1 / 6 / n));
    expect(Math.abs(square - 1 / 6)).toBeLessThan(5 * Math.sqrt(7 / 180 / n));
    expect(Math.abs(lag)).toBeLessThan((5 * (1 / 6)) / Math.sqrt(n));
    expect(Math.abs(inner - 0.75)).toBeLessThan(5 * Math.sqrt(0.1875 / n));
  });
});
