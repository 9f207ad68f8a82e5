/** Curves laid over themselves at a period. */

/**
 * Mean of a curve at each phase of a period.
 * @param curve one value per frame
 * @param frameTime time of frame 0 and frame step, s
 * @param origin time of phase 0, s
 * @param period s
 * @param bins phases per period
 * @param from first frame
 * @param to frame after the last
 */
export function fold(
  curve: Float32Array,
  frameTime: { offset: number; hop: number },
  origin: number,
  period: number,
  bins: number,
  from = 0,
  to = curve.length,
): Float64Array {
  const sum = new Float64Array(bins);
  const weight = new Float64Array(bins);
  const step = (frameTime.hop / period) * bins;
  let phase = (((frameTime.offset + from * frameTime.hop - origin) / period) * bins) % bins;
  if (phase < 0) phase += bins;
  for (let j = from; j < to; j++) {
    let i = Math.floor(phase);
    const part = phase - i;
    if (i >= bins) i -= bins;
    const next = i + 1 === bins ? 0 : i + 1;
    const x = curve[j];
    sum[i] += x * (1 - part);
    weight[i] += 1 - part;
    sum[next] += x * part;
    weight[next] += part;
    phase += step;
    if (phase >= bins) phase -= bins;
  }
  for (let i = 0; i < bins; i++) sum[i] = weight[i] > 0 ? sum[i] / weight[i] : 0;
  return sum;
}
