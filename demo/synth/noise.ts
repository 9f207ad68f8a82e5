import type { Random } from './prng.ts';
import { sides, type Voice } from './voice.ts';

/** Root mean square of all samples of a voice. */
export function rmsOf(voice: Voice): number {
  let power = 0;
  let count = 0;
  for (const side of sides(voice)) {
    for (let i = 0; i < side.length; i++) power += side[i] * side[i];
    count += side.length;
  }
  return count ? Math.sqrt(power / count) : 0;
}

/** Adds white noise whose RMS stands `levelDb` from the RMS of what is there (−12 = 12 dB below). */
export function addNoise(voice: Voice, levelDb: number, random: Random): void {
  // Even noise of amplitude 1 has an RMS of 1/√3.
  const amplitude = rmsOf(voice) * 10 ** (levelDb / 20) * Math.sqrt(3);
  for (const side of sides(voice)) {
    for (let i = 0; i < side.length; i++) side[i] += amplitude * (random() * 2 - 1);
  }
}
