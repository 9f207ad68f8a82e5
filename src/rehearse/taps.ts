/** How far a person's taps come from the beat: the delay of hand, machine and ear or eye together. */

/** Fewer taps tell nothing. */
export const LEAST_TAPS = 8;
/** Spread beyond which the taps tell nothing, s. Estimate. */
export const MOST_SPREAD = 0.08;
/** Time between two beats of the calibration, s: 100 a minute, easy to tap to. */
export const TAP_BEAT = 0.6;
/** The median of absolute deviations times this is the standard deviation of normal values. */
const TO_SIGMA = 1.4826;

export interface TapOffset {
  /** Median of the taps beside their nearest beats, s; positive: late. */
  offset: number;
  /** Robust standard deviation, s. */
  spread: number;
}

export type TapResult = TapOffset | 'too-few' | 'uneven';

/**
 * @param taps s
 * @param first s, one beat
 * @param beat s between two beats
 */
export function tapOffset(taps: readonly number[], first: number, beat = TAP_BEAT): TapResult {
  if (taps.length < LEAST_TAPS) return 'too-few';
  const offs = taps.map((tap) => tap - first - Math.round((tap - first) / beat) * beat);
  const offset = median(offs);
  const spread = TO_SIGMA * median(offs.map((off) => Math.abs(off - offset)));
  return spread > MOST_SPREAD ? 'uneven' : { offset, spread };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}
