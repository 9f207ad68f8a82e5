/** Test signals of EBU Tech 3341 and 3342 that are defined by formula, and a way to measure them. */
import type { Loudness } from '../../shared/analysis.ts';
import { createLoudnessStage } from '../../workers/stages/loudness/index.ts';

export const RATE = 48000;

/** [level in dBFS (peak of the sine), duration in s] */
export type Stretch = readonly [number, number];

/** One channel of a 1 kHz sine (or `hz`) whose level changes from stretch to stretch. */
export function tone(stretches: readonly Stretch[], rate = RATE, hz = 1000): Float32Array {
  const ends: number[] = [];
  let total = 0;
  for (const [, seconds] of stretches) ends.push((total += seconds));
  const samples = new Float32Array(Math.round(total * rate));
  let stretch = 0;
  for (let i = 0; i < samples.length; i++) {
    while (i >= Math.round(ends[stretch] * rate)) stretch++;
    samples[i] = 10 ** (stretches[stretch][0] / 20) * Math.sin((2 * Math.PI * hz * i) / rate);
  }
  return samples;
}

/** Measures whole channels, fed in blocks of `blockLength` samples. */
export function measure(channels: Float32Array[], rate = RATE, blockLength = rate): Loudness | null {
  const stage = createLoudnessStage({ sampleRate: rate, channels: channels.length });
  for (let i = 0; i < channels[0].length; i += blockLength) {
    stage.push(channels.map((c) => c.subarray(i, i + blockLength)));
  }
  return stage.finish();
}

/** The same signal left and right. */
export function measureStereo(samples: Float32Array, rate = RATE): Loudness {
  return measure([samples, samples], rate)!;
}

/** A small seeded generator (a linear congruential one is random enough for a test signal). */
export function noise(seconds: number, seed: number, rate = RATE): Float32Array {
  let state = seed >>> 0;
  return new Float32Array(Math.round(seconds * rate)).map(() => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 31 - 1;
  });
}
