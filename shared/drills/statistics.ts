/** Intervals for means and shares. All are two-sided at CONFIDENCE. */

export const CONFIDENCE = 0.95;
/** The normal quantile of it. */
export const Z = 1.959963984540054;

export interface Interval {
  /** The estimate. */
  value: number;
  low: number;
  high: number;
  /** Answers that it stands on. */
  count: number;
}

export const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** Sum of the squared differences from the mean. */
export function squaresOf(values: readonly number[]): number {
  const mean = meanOf(values);
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
}

/**
 * Student's t interval of a mean (Student 1908, "The probable error of a mean").
 * @returns null for fewer than two values
 */
export function meanInterval(values: readonly number[]): Interval | null {
  const count = values.length;
  if (count < 2) return null;
  const value = meanOf(values);
  const half = tQuantile(count - 1) * Math.sqrt(squaresOf(values) / (count - 1) / count);
  return { value, low: value - half, high: value + half, count };
}

/**
 * Wilson's score interval of a share (Wilson 1927, "Probable inference, the law of succession, and statistical
 * inference"). For grades between 0 and 1 it is on the safe side: no variable on 0..1 varies more than one of 0 and 1
 * with the same mean.
 * @param hits number of hits, or sum of grades
 */
export function shareInterval(hits: number, count: number): Interval {
  if (!count) return { value: NaN, low: 0, high: 1, count };
  const share = hits / count;
  const z2 = Z * Z;
  const centre = (share + z2 / (2 * count)) / (1 + z2 / count);
  const half = (Z / (1 + z2 / count)) * Math.sqrt((share * (1 - share)) / count + z2 / (4 * count * count));
  return {
    value: share,
    low: Math.max(0, Math.min(share, centre - half)),
    high: Math.min(1, Math.max(share, centre + half)),
    count,
  };
}

/**
 * The median, with the interval between two of the sorted values that holds it whatever the values' distribution: the
 * inversion of the sign test (Conover 1999, "Practical nonparametric statistics"; citation from memory). For few values
 * it is wider than CONFIDENCE asks.
 * @returns null for fewer values than such an interval needs (6)
 */
export function medianInterval(values: readonly number[]): Interval | null {
  const count = values.length;
  const sorted = [...values].sort((a, b) => a - b);
  // The most values that can be left off at either end: P(Binomial(n, 1/2) < rank) must not pass half the rest.
  let rank = 0;
  let term = Math.exp(-count * Math.LN2);
  for (let below = term; below <= (1 - CONFIDENCE) / 2 && rank < count / 2; below += term) {
    rank++;
    term *= (count - rank + 1) / rank;
  }
  if (!rank) return null;
  const half = count >> 1;
  const value = count % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
  return { value, low: sorted[rank - 1], high: sorted[count - rank], count };
}

const T_STEPS = 200;

/** Quantile of Student's t for CONFIDENCE, two-sided, by halving the distance; `freedom` may be fractional, from 1/2 on. */
export function tQuantile(freedom: number): number {
  let low = 0;
  let high = 1e4;
  for (let i = 0; i < T_STEPS && high - low > 1e-10 * high; i++) {
    const mid = (low + high) / 2;
    // P(|T| > t) = I_x(ν/2, 1/2) with x = ν/(ν+t²): Abramowitz and Stegun 26.7.1 with 26.5.27; from memory.
    if (incompleteBeta(freedom / (freedom + mid * mid), freedom / 2, 0.5) > 1 - CONFIDENCE) low = mid;
    else high = mid;
  }
  return (low + high) / 2;
}

/** Regularised incomplete beta function, by its continued fraction (Abramowitz and Stegun 26.5.8; from memory). */
export function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  // The fraction converges fast only on this side.
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
  // From its far end to its near one: no term can vanish on the way.
  let tail = 0;
  for (let m = BETA_TERMS; m >= 1; m--) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    tail = even / (1 + odd / (1 + tail));
  }
  const first = (-(a + b) * x) / (a + 1);
  return front / a / (1 + first / (1 + tail));
}

const BETA_TERMS = 400;
const STIRLING_FROM = 10;

/** ln Γ(x) for x > 0, by Stirling's series above STIRLING_FROM (Abramowitz and Stegun 6.1.41; from memory). */
function logGamma(x: number): number {
  let shift = 0;
  while (x < STIRLING_FROM) shift += Math.log(x++);
  const series = 1 / (12 * x) - 1 / (360 * x ** 3) + 1 / (1260 * x ** 5) - 1 / (1680 * x ** 7);
  return (x - 0.5) * Math.log(x) - x + 0.5 * Math.log(2 * Math.PI) + series - shift;
}
