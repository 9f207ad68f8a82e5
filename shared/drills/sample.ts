/** Which tracks a session asks about. */
import { newSeed, seeded, shuffled } from './random.ts';

/** Tracks that are asked about in one session: a sample is enough, and their analyses fit into memory. */
export const SAMPLE = 16;

/** SAMPLE of the tracks in random order; the same seed gives the same ones. @param seed start of the session, ms */
export const sampleOf = <T>(tracks: readonly T[], seed: number): T[] =>
  shuffled(seeded(newSeed(seeded(seed))), tracks).slice(0, SAMPLE);
