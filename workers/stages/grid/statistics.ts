/** Small statistics that several steps share. */

/** Values that a quantile is taken from. */
const QUANTILE_SAMPLE = 3000;

/** Value below which `share` (0..1) of the list lies; long lists are sampled. NaN for an empty list. */
export function quantile(values: ArrayLike<number>, share: number): number {
  const stride = Math.max(1, Math.floor(values.length / QUANTILE_SAMPLE));
  const sample = new Float64Array(Math.ceil(values.length / stride));
  for (let i = 0; i < sample.length; i++) sample[i] = values[i * stride];
  sample.sort();
  return sample.length ? sample[Math.min(sample.length - 1, Math.floor(share * sample.length))] : NaN;
}

export interface Line {
  intercept: number;
  slope: number;
}

/** Weighted least squares of y on x. Slope 0 when x does not vary. */
export function fitLine(x: ArrayLike<number>, y: ArrayLike<number>, weight: ArrayLike<number>): Line {
  let sw = 0;
  let sx = 0;
  let sy = 0;
  for (let i = 0; i < x.length; i++) {
    sw += weight[i];
    sx += weight[i] * x[i];
    sy += weight[i] * y[i];
  }
  if (!(sw > 0)) return { intercept: 0, slope: 0 };
  const mx = sx / sw;
  const my = sy / sw;
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < x.length; i++) {
    sxx += weight[i] * (x[i] - mx) ** 2;
    sxy += weight[i] * (x[i] - mx) * (y[i] - my);
  }
  const slope = sxx > 1e-12 ? sxy / sxx : 0;
  return { intercept: my - slope * mx, slope };
}

/**
 * Robust line: least squares with Tukey's biweight, re-weighted `rounds` times.
 * @param scale residual at which a point has lost about half of its say
 */
export function fitLineRobust(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  weight: ArrayLike<number>,
  scale: number,
  rounds = 8,
): Line {
  const w = Float64Array.from(weight);
  let line = fitLine(x, y, w);
  for (let round = 0; round < rounds; round++) {
    // The first rounds look wider, so that a poor start can still be pulled in.
    const width = scale * 2 * Math.max(1, 4 - round);
    for (let i = 0; i < w.length; i++) {
      const u = (y[i] - line.intercept - line.slope * x[i]) / width;
      w[i] = Math.abs(u) < 1 ? weight[i] * (1 - u * u) ** 2 : 0;
    }
    line = fitLine(x, y, w);
  }
  return line;
}

/** Vertex of the parabola through three equally spaced values, as an offset from the middle one (−½..½). */
export function parabolicPeak(left: number, middle: number, right: number): number {
  const bend = left - 2 * middle + right;
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * (left - right)) / bend)) : 0;
}

/** Weighted median. NaN for no weight. */
export function weightedMedian(values: ArrayLike<number>, weights: ArrayLike<number>): number {
  const order = Array.from({ length: values.length }, (_, i) => i).sort((a, b) => values[a] - values[b]);
  let total = 0;
  for (const i of order) total += weights[i];
  let sum = 0;
  for (const i of order) if ((sum += weights[i]) >= total / 2 && total > 0) return values[i];
  return NaN;
}
