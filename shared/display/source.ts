/** Where the columns of a display are read from. */
import type { Pyramid, PyramidLevel } from '../pyramid.ts';

/** Where equal columns that begin with the track are read from. */
export interface Source {
  level: PyramidLevel;
  /** Fine columns in one column: the same choice as in `readPyramid`. */
  ratio: number;
}

/** The coarsest level that has two columns in each of `width` s; null where the pyramid has nothing. */
export function sourceOf({ levels }: Pyramid, width: number): Source | null {
  const level = levels.findLast(({ hop }) => hop * 2 <= width) ?? levels[0];
  return level?.length ? { level, ratio: width / level.hop } : null;
}

/** Rounding of floats that is let pass, in fine columns. */
export const SLACK = 1e-6;

/** The fine column in which the left edge of a column lies. */
export const firstFine = (column: number, ratio: number): number => (column * ratio + SLACK) | 0;

/** The fine column after the last one that a column touches: after the one in which its right edge lies. */
export function pastFine(column: number, ratio: number): number {
  const edge = (column + 1) * ratio;
  const last = (edge + SLACK) | 0;
  return edge - last > SLACK ? last + 1 : last;
}

/**
 * RMS of a column from the sum of its `length` powers: rounded to single precision, as it is in what `readPyramid`
 * gives.
 */
export const rootMean = (power: number, length: number): number => Math.fround(Math.sqrt(power / length));
