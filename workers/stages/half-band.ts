/**
 * Halves the sample rate by a symmetric half-band filter. Every second tap of such a filter is 0 and the middle
 * one is 1/2, so that only the odd taps need to be multiplied. No delay: output k is centred on input 2k.
 */

/**
 * Odd taps (±1, ±3, ±5) of the maximally flat 11-tap half-band filter (Lagrange interpolator, rational
 * coefficients): enough where the wanted band ends far below the new half rate.
 */
export const FLAT_TAPS: readonly number[] = [150 / 512, -25 / 512, 3 / 512];

/** The usual number of odd taps on each side of a steep filter; its loop is written out. */
export const STEEP_COUNT = 8;

/**
 * Odd taps of a half-band filter by the Kaiser window method (J. F. Kaiser 1974).
 * @param count how many odd taps on each side
 * @param beta shape of the window: 6 gives about −60 dB in the stop band
 */
export function kaiserTaps(count: number, beta: number): number[] {
  const taps = Array.from({ length: count }, (_, i) => {
    const n = 2 * i + 1;
    const window = bessel0(beta * Math.sqrt(1 - (n / (2 * count)) ** 2)) / bessel0(beta);
    return (window * Math.sin((Math.PI * n) / 2)) / (Math.PI * n);
  });
  // All odd taps together make 1/2, so that a steady level passes unchanged.
  const sum = 2 * taps.reduce((a, b) => a + b, 0);
  return taps.map((tap) => tap / (2 * sum));
}

/** Modified Bessel function of the first kind, order 0, by its power series. */
function bessel0(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > sum * 1e-16; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}

export class HalfBand {
  readonly #taps: Float64Array;
  /** Input samples on each side of the centre that an output needs. */
  readonly #reach: number;
  /** Kept past and new samples; index `#centre` is the next output's centre. */
  #line: Float32Array;
  #filled: number;
  #output = new Float32Array(0);

  /** @param oddTaps the taps at ±1, ±3, … */
  constructor(oddTaps: readonly number[]) {
    this.#taps = Float64Array.from(oddTaps);
    this.#reach = 2 * oddTaps.length - 1;
    this.#line = new Float32Array(4 * this.#reach + 2);
    // Silence before the first sample.
    this.#filled = this.#reach;
  }

  /**
   * Takes `length` samples of `input` and returns the outputs that they complete.
   * The returned array is reused by the next call.
   */
  push(input: Float32Array, length: number): Float32Array {
    const needed = this.#filled + length;
    if (this.#line.length < needed) {
      const longer = new Float32Array(needed);
      longer.set(this.#line.subarray(0, this.#filled));
      this.#line = longer;
    }
    this.#line.set(input.subarray(0, length), this.#filled);
    this.#filled = needed;
    return this.#run();
  }

  /** The outputs whose centre was pushed but whose right side was not: as if silence followed. */
  flush(): Float32Array {
    return this.push(new Float32Array(this.#reach), this.#reach);
  }

  #run(): Float32Array {
    const reach = this.#reach;
    const count = Math.max(0, Math.floor((this.#filled - 2 * reach - 1) / 2) + 1);
    if (this.#output.length < count) this.#output = new Float32Array(count);
    const { length } = this.#taps;
    const [taps, line, output] = [this.#taps, this.#line, this.#output];
    if (length === FLAT_TAPS.length) {
      const [a, b, c] = taps;
      for (let k = 0, i = reach; k < count; k++, i += 2) {
        output[k] =
          0.5 * line[i] +
          a * (line[i - 1] + line[i + 1]) +
          b * (line[i - 3] + line[i + 3]) +
          c * (line[i - 5] + line[i + 5]);
      }
    } else if (length === STEEP_COUNT) {
      const [a, b, c, d, e, f, g, h] = taps;
      for (let k = 0, i = reach; k < count; k++, i += 2) {
        output[k] =
          0.5 * line[i] +
          (a * (line[i - 1] + line[i + 1]) + b * (line[i - 3] + line[i + 3])) +
          (c * (line[i - 5] + line[i + 5]) + d * (line[i - 7] + line[i + 7])) +
          (e * (line[i - 9] + line[i + 9]) + f * (line[i - 11] + line[i + 11])) +
          (g * (line[i - 13] + line[i + 13]) + h * (line[i - 15] + line[i + 15]));
      }
    } else {
      for (let k = 0, i = reach; k < count; k++, i += 2) {
        let sum = 0.5 * line[i];
        for (let t = 0, d = 1; t < length; t++, d += 2) sum += taps[t] * (line[i - d] + line[i + d]);
        output[k] = sum;
      }
    }
    line.copyWithin(0, 2 * count, this.#filled);
    this.#filled -= 2 * count;
    return output.subarray(0, count);
  }
}
