/** Conditional logit: which of several alternatives is chosen, after their features (McFadden 1974). */

/** One choice: its alternatives, of which one or more are right, and how much it counts. */
export interface ChoiceSet {
  alternatives: { right: boolean; values: number[] }[];
  weight: number;
}

const ROUNDS = 400;
const RATE = 0.05;

/**
 * Weights by Adam (Kingma and Ba 2015) on the likelihood that a right alternative is chosen.
 * @param ridge penalty on the squared weights of features scaled to unit spread
 */
export function fitConditionalLogit(sets: ChoiceSet[], ridge: number): number[] {
  const usable = sets.filter((set) => set.alternatives.some((a) => a.right));
  const all = usable.flatMap((set) => set.alternatives);
  const size = all[0].values.length;
  const total = usable.reduce((sum, set) => sum + set.weight, 0);
  const spread = Array.from({ length: size }, (_, i) => {
    const mean = all.reduce((sum, a) => sum + a.values[i], 0) / all.length;
    return Math.sqrt(all.reduce((sum, a) => sum + (a.values[i] - mean) ** 2, 0) / all.length) + 1e-9;
  });
  // Differences from the set's first alternative say the same and keep the numbers small.
  const scaled = usable.map(({ alternatives, weight }) => ({
    share: weight / total,
    right: alternatives.map((a) => a.right),
    rows: alternatives.map((a) =>
      Float64Array.from(a.values, (v, i) => (v - alternatives[0].values[i]) / spread[i]),
    ),
  }));
  const weights = new Float64Array(size);
  const first = new Float64Array(size);
  const second = new Float64Array(size);
  for (let round = 1; round <= ROUNDS; round++) {
    const gradient = Float64Array.from(weights, (w) => ridge * w);
    for (const { rows, right, share } of scaled) {
      const scores = rows.map((row) => {
        let sum = 0;
        for (let i = 0; i < size; i++) sum += row[i] * weights[i];
        return sum;
      });
      const top = Math.max(...scores);
      const shares = scores.map((s) => Math.exp(s - top));
      const whole = shares.reduce((a, b) => a + b, 0);
      const good = shares.reduce((sum, s, k) => sum + (right[k] ? s : 0), 1e-300);
      rows.forEach((row, k) => {
        const pull = share * (shares[k] / whole - (right[k] ? shares[k] / good : 0));
        for (let i = 0; i < size; i++) gradient[i] += pull * row[i];
      });
    }
    for (let i = 0; i < size; i++) {
      first[i] = 0.9 * first[i] + 0.1 * gradient[i];
      second[i] = 0.999 * second[i] + 0.001 * gradient[i] ** 2;
      weights[i] -=
        (RATE * (first[i] / (1 - 0.9 ** round))) / (Math.sqrt(second[i] / (1 - 0.999 ** round)) + 1e-8);
    }
  }
  return Array.from(weights, (w, i) => Number((w / spread[i]).toFixed(4)));
}
