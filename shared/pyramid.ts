/**
 * The multi-resolution store of levels that every display is painted from. Level 0 has one column per fine
 * hop; each higher level joins REDUCTION columns of the one below, so that any zoom reads a bounded number
 * of columns per pixel.
 */
import { LAYERS } from './bands.ts';

/** Columns of one level that make one column of the next. */
export const REDUCTION = 4;
/** Fine hop in seconds that the analysis aims at (rounded to whole samples of the file's rate). */
export const TARGET_HOP_SECONDS = 0.005;

export interface PyramidLevel {
  /** Duration of one column, s. */
  hop: number;
  /** Number of columns. */
  length: number;
  /** One array per layer (see LAYERS), each of `length` linear peaks 0..1. */
  peak: Float32Array[];
  /** One array per layer, each of `length` linear RMS values 0..1. */
  rms: Float32Array[];
}

export interface Pyramid {
  /** s: columns past it do not exist. */
  duration: number;
  levels: PyramidLevel[];
}

/** Levels of one layer set over a list of equal stretches of time. */
export interface LevelColumns {
  /** peak[layer][column], linear */
  peak: Float32Array[];
  /** rms[layer][column], linear */
  rms: Float32Array[];
}

/**
 * Reads `count` equal columns of `secondsPerColumn` from `startTime` on.
 * Peak is the largest peak and RMS the root of the mean power of every fine column that the stretch touches,
 * read from the coarsest level that still has at least two columns in each. Outside the track all is 0.
 * @returns arrays of `count` per layer
 */
export function readPyramid(
  pyramid: Pyramid,
  startTime: number,
  secondsPerColumn: number,
  count: number,
): LevelColumns {
  const level = pyramid.levels.findLast((l) => l.hop * 2 <= secondsPerColumn) ?? pyramid.levels[0];
  const peak = LAYERS.map(() => new Float32Array(count));
  const rms = LAYERS.map(() => new Float32Array(count));
  if (!level || level.length === 0) return { peak, rms };
  for (let column = 0; column < count; column++) {
    const t0 = startTime + column * secondsPerColumn;
    const t1 = t0 + secondsPerColumn;
    if (t1 <= 0 || t0 >= pyramid.duration) continue;
    const first = Math.max(0, Math.floor(t0 / level.hop + 1e-6));
    const last = Math.min(level.length - 1, Math.max(first, Math.ceil(t1 / level.hop - 1e-6) - 1));
    if (first > last) continue;
    for (let layer = 0; layer < LAYERS.length; layer++) {
      const peaks = level.peak[layer];
      const powers = level.rms[layer];
      let top = 0;
      let power = 0;
      for (let i = first; i <= last; i++) {
        if (peaks[i] > top) top = peaks[i];
        power += powers[i] * powers[i];
      }
      peak[layer][column] = top;
      rms[layer][column] = Math.sqrt(power / (last - first + 1));
    }
  }
  return { peak, rms };
}
