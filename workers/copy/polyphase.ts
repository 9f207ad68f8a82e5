/**
 * The low-pass filter of the resampler as a bank of phases: Kaiser-windowed sinc. J. F. Kaiser, "Nonrecursive
 * digital filter design using the I0-sinh window function", IEEE ISCAS 1974; the formulas for its length and beta
 * are also in A. Oppenheim and R. Schafer, "Discrete-Time Signal Processing", section 7.6.
 */

/** Of the lower of the two Nyquist frequencies: 20 kHz of 22.05 kHz. Up to here the response is flat. */
const PASSBAND = 20000 / 22050;
/** dB that everything from the lower Nyquist frequency on is down by. */
const ATTENUATION_DB = 130;
const BETA = 0.1102 * (ATTENUATION_DB - 8.7);
/** Taps are summed four at a time. */
const STEP = 4;

export interface PhaseBank {
  /** Output rate / input rate in lowest terms. */
  up: number;
  down: number;
  /** Taps of one phase; half of them lie at or before the place of the output sample. */
  taps: number;
  /** `up` phases of `taps` weights; phase p lies p / up of a sample behind an input sample. */
  weights: Float32Array;
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}

/** Modified Bessel function of the first kind and order 0, by its power series. */
export function bessel0(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > 1e-17 * sum; k++) sum += term *= (x / (2 * k)) ** 2;
  return sum;
}

/** Weights of the largest bank, 64 MB: every rate that files of music have needs less than a fiftieth of it. */
const MOST_WEIGHTS = 2 ** 24;

interface BankSize extends Pick<PhaseBank, 'up' | 'down' | 'taps'> {
  /** Output Nyquist frequency as a share of the input's, at most 1. */
  stop: number;
}

function sizeOf(from: number, to: number): BankSize {
  const divisor = greatestCommonDivisor(from, to);
  const stop = Math.min(1, to / from);
  const transition = Math.PI * stop * (1 - PASSBAND);
  const length = (ATTENUATION_DB - 8) / (2.285 * transition);
  return { up: to / divisor, down: from / divisor, taps: 2 * Math.ceil(length / 2 / STEP) * STEP, stop };
}

/** Whether there can be a bank between two rates, whole numbers of Hz: none for a rate that is far out and fits none. */
export function hasPhaseBank(from: number, to: number): boolean {
  const { up, taps } = sizeOf(from, to);
  return up * taps <= MOST_WEIGHTS;
}

/** @param from @param to whole numbers of Hz for which `hasPhaseBank` */
export function phaseBank(from: number, to: number): PhaseBank {
  const { up, down, taps, stop } = sizeOf(from, to);
  const half = taps / 2;
  /** As a share of the input's Nyquist frequency. */
  const cutoff = (stop * (1 + PASSBAND)) / 2;
  const weights = new Float32Array(up * taps);
  const phase = new Float64Array(taps);
  const scale = 1 / bessel0(BETA);
  for (let p = 0; p < up; p++) {
    let sum = 0;
    for (let j = 0; j < taps; j++) {
      const distance = j - (half - 1) - p / up;
      const angle = Math.PI * cutoff * distance;
      const sinc = Math.abs(angle) < 1e-9 ? 1 : Math.sin(angle) / angle;
      const window = bessel0(BETA * Math.sqrt(Math.max(0, 1 - (distance / half) ** 2))) * scale;
      sum += phase[j] = sinc * window;
    }
    // Every phase passes a constant as it is, so that none stands out as a tone.
    for (let j = 0; j < taps; j++) weights[p * taps + j] = phase[j] / sum;
  }
  return { up, down, taps, weights };
}
