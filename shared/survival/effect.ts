/** Effect size between two lists of steps, from their histograms. */

/**
 * Cliff's delta with a margin: how much more often a value after is larger than one before, than smaller, over all
 * pairs; pairs that differ by less than `margin` steps count as equal, since nobody sees them differ.
 * −1: every value after is smaller; 0: no tendency; 1: every value after is larger.
 * After N. Cliff (1993), "Dominance statistics: ordinal analyses to answer ordinal questions", Psychological
 * Bulletin 114; citation from memory. The margin is ours.
 * @param before counts per step
 * @param after counts per step, as long as `before`
 * @param margin steps that make a visible difference, at least 1
 * @returns 0 where one side is empty
 */
export function cliffsDelta(before: Uint32Array, after: Uint32Array, margin = 1): number {
  const steps = before.length;
  const below = new Float64Array(steps + 1);
  for (let i = 0; i < steps; i++) below[i + 1] = below[i] + before[i];
  const all = below[steps];
  let balance = 0;
  let count = 0;
  for (let i = 0; i < steps; i++) {
    const n = after[i];
    if (!n) continue;
    count += n;
    const smaller = below[Math.max(0, i - margin + 1)];
    const larger = all - below[Math.min(steps, i + margin)];
    balance += n * (smaller - larger);
  }
  return all && count ? balance / (all * count) : 0;
}
