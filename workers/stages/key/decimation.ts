/**
 * Lowers a sample rate by a power of two. Only what lies below the pass band has to stay clean, and at the
 * high rates that is a sliver of the spectrum, so the first halvings get by with very short filters; the last
 * one has a sharp one.
 */

/** How far what folds back into the pass band is pushed down in the last halving, dB: enough to find notes. */
const ATTENUATION_DB = 45;
/** Samples of input that one step takes at a time. */
const PIECE = 8192;

type Sink = (samples: Float64Array) => void;

export interface Decimation {
  push: Sink;
  /** Hands on what the filters still hold, as if silence followed. */
  finish(): void;
}

/**
 * Builds the chain of steps.
 * @param rate Hz of the output
 * @param factor power of two
 * @param passHz what lies below must stay free of folded images
 * @param sink takes each piece of the output; it must copy what it keeps
 */
export function decimationTo(rate: number, factor: number, passHz: number, sink: Sink): Decimation {
  const steps: FirDecimator[] = [];
  // From the last step to the first, as each needs to know where its output goes.
  const before = (step: number, half: Float64Array) => {
    const decimator = new FirDecimator(step, half, sink);
    steps.unshift(decimator);
    sink = (samples) => decimator.push(samples);
  };
  let rest = factor;
  if (rest > 1) {
    before(2, lowPassHalf(2 * rate, passHz, rate - passHz));
    rest /= 2;
  }
  for (; rest > 1; rest /= 2) before(2, BINOMIAL_HALF);
  return {
    push: (samples) => sink(samples),
    finish: () => steps.forEach((step) => step.finish()),
  };
}

/**
 * First half of the binomial 1 5 10 10 5 1. Its fivefold zero at half the input rate leaves −39 dB at the edge of
 * what folds into the pass band, even in the step just before the sharp one.
 */
const BINOMIAL_HALF = Float64Array.of(1, 5, 10).map((c) => c / 32);

/** A symmetric FIR filter of even length of which only the outputs that are kept get computed. */
class FirDecimator {
  private readonly buffer: Float64Array;
  private readonly output: Float64Array;
  private filled: number;

  constructor(
    private readonly factor: number,
    private readonly half: Float64Array,
    private readonly sink: Sink,
  ) {
    this.buffer = new Float64Array(PIECE + 2 * half.length);
    this.output = new Float64Array(Math.ceil(this.buffer.length / factor));
    // Silence before the first sample, so that the first output is centred on it (to half a sample).
    this.filled = half.length - 1;
  }

  push(samples: Float64Array): void {
    const { buffer } = this;
    for (let from = 0; from < samples.length;) {
      const count = Math.min(samples.length - from, buffer.length - this.filled);
      buffer.set(samples.subarray(from, from + count), this.filled);
      this.filled += count;
      from += count;
      if (this.filled === buffer.length) this.run();
    }
  }

  finish(): void {
    this.push(new Float64Array(2 * this.half.length));
    this.run();
  }

  private run(): void {
    const { buffer, factor, half, output, filled } = this;
    const count = Math.floor((filled - 2 * half.length) / factor) + 1;
    if (count <= 0) return;
    if (half === BINOMIAL_HALF) halveSmoothly(buffer, output, count);
    else filter(buffer, output, half, count, factor);
    buffer.copyWithin(0, count * factor, filled);
    this.filled -= count * factor;
    this.sink(output.subarray(0, count));
  }
}

function filter(x: Float64Array, y: Float64Array, half: Float64Array, count: number, factor: number): void {
  const last = 2 * half.length - 1;
  for (let m = 0, i = 0; m < count; m++, i += factor) {
    let sum = 0;
    for (let j = 0, a = i, b = i + last; j < half.length; j++, a++, b--) sum += half[j] * (x[a] + x[b]);
    y[m] = sum;
  }
}

/** `filter` with the binomial, written out: this step sees the most samples. */
function halveSmoothly(x: Float64Array, y: Float64Array, count: number): void {
  const [c0, c1, c2] = BINOMIAL_HALF;
  let a = x[0];
  let b = x[1];
  let c = x[2];
  let d = x[3];
  for (let m = 0, i = 4; m < count; m++, i += 2) {
    const e = x[i];
    const f = x[i + 1];
    y[m] = c0 * (a + f) + c1 * (b + e) + c2 * (c + d);
    a = c;
    b = d;
    c = e;
    d = f;
  }
}

/** First half of a low-pass between two edges in Hz (Kaiser window, J. F. Kaiser's design formulae, 1974). */
function lowPassHalf(rate: number, passHz: number, stopHz: number): Float64Array {
  const transition = (2 * Math.PI * (stopHz - passHz)) / rate;
  const length = 2 * Math.ceil((ATTENUATION_DB - 8) / (2.285 * transition) / 2) + 2;
  const beta = 0.5842 * (ATTENUATION_DB - 21) ** 0.4 + 0.07886 * (ATTENUATION_DB - 21);
  const cutoff = (passHz + stopHz) / rate;
  const taps = new Float64Array(length / 2);
  let sum = 0;
  for (let j = 0; j < taps.length; j++) {
    const distance = j - (length - 1) / 2;
    const window = bessel0(beta * Math.sqrt(1 - (distance / (length / 2)) ** 2));
    taps[j] = (window * Math.sin(Math.PI * cutoff * distance)) / distance;
    sum += 2 * taps[j];
  }
  return taps.map((t) => t / sum);
}

function bessel0(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > 1e-12 * sum; k++) sum += term *= (x / (2 * k)) ** 2;
  return sum;
}
