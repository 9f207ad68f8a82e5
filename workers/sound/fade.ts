/** How one sound goes over into another. */

/**
 * `power`: the sum of the squares of both gains is 1, for sounds that have nothing to do with each other.
 * `sum`: the sum of both gains is 1, for sounds that are alike.
 */
export type FadeLaw = 'power' | 'sum';

export interface Fade {
  /** Frames that it takes. */
  frames: number;
  law: FadeLaw;
}

/** Gain of what comes, `share` 0..1 of the way; what goes has the gain of `1 - share`. */
export function gainOf(law: FadeLaw, share: number): number {
  if (share <= 0) return 0;
  if (share >= 1) return 1;
  const rise = Math.sin((Math.PI / 2) * share);
  return law === 'power' ? rise : rise * rise;
}
