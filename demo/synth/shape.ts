/** Wave shaping. */

const LIMIT = 3;

/** A smooth clipper close to tanh (its Padé approximant, exact ±1 beyond ±3), in plain arithmetic. */
export function softClip(x: number): number {
  if (x >= LIMIT) return 1;
  if (x <= -LIMIT) return -1;
  const square = x * x;
  return (x * (27 + square)) / (27 + 9 * square);
}
