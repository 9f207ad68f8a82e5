/** ALAC's adaptive linear predictor, run backwards; after the openly published format. All sums wrap at 32 bits as there. */

/** This order means plain first differences without coefficients. */
const FIRST_DIFFERENCE = 31;

/**
 * Turns residual into samples.
 * @param residual `count` values; may be the same array as `out`
 * @param coefficients nearest sample first; they adapt in place
 * @param order number of coefficients, or 31 for first differences
 * @param bits of a sample in this channel; sums wrap to them
 * @param shift fractional bits of the coefficients
 */
export function unpredict(
  residual: Int32Array,
  out: Int32Array,
  count: number,
  coefficients: Int16Array,
  order: number,
  bits: number,
  shift: number,
): void {
  const wrap = 32 - bits;
  const half = shift > 0 ? 1 << (shift - 1) : 0;
  if (count === 0) return;
  out[0] = residual[0];
  if (order === 0) {
    if (out !== residual) out.set(residual.subarray(1, count), 1);
    return;
  }
  const warmUp = order === FIRST_DIFFERENCE ? count : Math.min(count, order + 1);
  for (let i = 1; i < warmUp; i++) out[i] = ((residual[i] + out[i - 1]) << wrap) >> wrap;
  for (let i = warmUp; i < count; i++) {
    const oldest = out[i - order - 1];
    let sum = 0;
    for (let k = 0; k < order; k++) sum = (sum + Math.imul(coefficients[k], out[i - 1 - k] - oldest)) | 0;
    let error = residual[i];
    out[i] = ((error + oldest + ((sum + half) >> shift)) << wrap) >> wrap;
    // The coefficients move by one step each against the error, farthest first, until it is used up.
    if (error > 0) {
      for (let k = order - 1; k >= 0 && error > 0; k--) {
        const difference = (oldest - out[i - 1 - k]) | 0;
        const sign = Math.sign(difference);
        coefficients[k] -= sign;
        error -= (order - k) * ((sign * difference) >> shift);
      }
    } else if (error < 0) {
      for (let k = order - 1; k >= 0 && error < 0; k--) {
        const difference = (oldest - out[i - 1 - k]) | 0;
        const sign = -Math.sign(difference);
        coefficients[k] -= sign;
        error -= (order - k) * ((sign * difference) >> shift);
      }
    }
  }
}
