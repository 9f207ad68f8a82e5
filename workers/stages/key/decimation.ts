/**
 * Lowers a sample rate by a power of two. Only what lies below the pass band has to stay clean, and at the
 * high rates that is a sliver of the spectrum, so the first halvings get by with very short filters; the last
 * one has a sharp one.
 */
import { Halver, type HalvingFilter, type Sink } from '../halver.ts';

/** How far what folds back into the pass band is pushed down in the last halving, dB: enough to find notes. */
const ATTENUATION_DB = 45;

/** From this factor on (rates from 40 kHz) the first two halvings are the shortest. */
const LEAST_FOR_FOUR = 16;
/**
 * Second and first of them: 1 2 1 after 1 3 3 1, which together are running means of four, four and two in a row,
 * with double zeros at every multiple of a quarter of the rate.
 */
const FIRST_BY_FOUR: HalvingFilter[] = [
  { taps: Float64Array.of(1, 2, 1).map((c) => c / 4), lead: 1, tail: 1 },
  { taps: Float64Array.of(1, 3, 3, 1).map((c) => c / 8), lead: 2, tail: 3 },
];

export interface Decimation {
  /** Takes samples; they may be written over afterwards. */
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
  const steps: Halver[] = [];
  // From the last step to the first, as each needs to know where its output goes.
  const before = (filter: HalvingFilter) => {
    const halver = new Halver(filter, sink);
    steps.unshift(halver);
    sink = (samples) => halver.push(samples);
  };
  let rest = factor;
  if (rest > 1) {
    before(evenLength(lowPassHalf(2 * rate, passHz, rate - passHz)));
    rest /= 2;
  }
  const isHigh = factor >= LEAST_FOR_FOUR;
  for (; rest > (isHigh ? 4 : 1); rest /= 2) before(evenLength(BINOMIAL_HALF));
  if (isHigh) FIRST_BY_FOUR.forEach(before);
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

/** The whole of a filter of which `half` is the first half; its output is centred on the input to half a sample. */
function evenLength(half: Float64Array): HalvingFilter {
  const taps = new Float64Array(2 * half.length);
  taps.set(half);
  taps.set(half.slice().reverse(), half.length);
  return { taps, lead: half.length - 1, tail: taps.length };
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
