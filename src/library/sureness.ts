/** When a grid should be checked by a person. */
import type { TrackSummary } from './records.ts';

/**
 * Below this chance that tempo and beats are right, a grid is called unsure. Estimate: of grids just above it
 * about one in seven is wrong (tests/bench/grid-fit.ts), and a list in which most tracks are marked helps nobody.
 */
export const UNSURE_BELOW = 0.8;

/** @param confidence 0..1 */
export function isUnsure(confidence: number): boolean {
  return confidence < UNSURE_BELOW;
}

export type GridDoubt = 'unsure' | 'none';

/**
 * Why a track's grid should be looked at: `unsure`, or `none` was found. Null where all is well, where the person
 * has corrected or locked the grid, and for silence, which needs none.
 */
export function gridDoubt({ silent, tempo, tempoConfidence, gridByHand }: TrackSummary): GridDoubt | null {
  if (silent || gridByHand) return null;
  if (tempo === null) return 'none';
  return isUnsure(tempoConfidence) ? 'unsure' : null;
}
