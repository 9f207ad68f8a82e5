/** Overall levels of a track, read from its pyramid. */
import { LAYERS } from '../../shared/bands.ts';
import type { Pyramid } from '../../shared/pyramid.ts';

/** A track with nothing above this is silent. Estimate: just over the last bit of a 16-bit file (−90.3 dBFS). */
export const SILENCE_DB = -90;

export interface Levels {
  /** Largest absolute sample of any channel, linear (may exceed 1 in float files). */
  peak: number;
  /** Nothing above SILENCE_DB anywhere; true of an empty track. */
  silent: boolean;
}

/**
 * Peak and silence of a whole track. The full layer's fine peaks are the samples themselves, so this is exact.
 */
export function levelsOf(pyramid: Pyramid): Levels {
  const full = pyramid.levels[0]?.peak[LAYERS.indexOf('full')] ?? new Float32Array();
  const peak = full.reduce((top, value) => Math.max(top, value), 0);
  return { peak, silent: peak <= 10 ** (SILENCE_DB / 20) };
}
