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
  let all = 0;
  for (let i = 0; i < steps; i++) all += before[i];
  /** Of `before`, those that a value of i exceeds, and those that it does not fall short of. */
  let smaller = 0;
  let notLarger = 0;
  for (let i = 0; i < Math.min(steps, margin - 1); i++) notLarger += before[i];
  let balance = 0;
  let count = 0;
  for (let i = 0; i < steps; i++) {
    if (i >= margin) smaller += before[i - margin];
    if (i + margin - 1 < steps) notLarger += before[i + margin - 1];
    count += after[i];
    balance += after[i] * (smaller - (all - notLarger));
  }
  return all && count ? balance / (all * count) : 0;
}
