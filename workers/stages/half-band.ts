/**
 * Half-band filters: every second tap is 0 and the middle one is 1/2, so that only the odd taps need to be
 * multiplied. No delay: output k is centred on input 2k.
 */
import type { HalvingFilter } from './halver.ts';

/**
 * Odd taps (±1, ±3, ±5) of the maximally flat 11-tap half-band filter (Lagrange interpolator, rational
 * coefficients): enough where the wanted band ends far below the new half rate.
 */
export const FLAT_TAPS: readonly number[] = [150 / 512, -25 / 512, 3 / 512];

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

/** The whole filter. @param oddTaps the taps at ±1, ±3, … */
export function halfBand(oddTaps: readonly number[]): HalvingFilter {
  const reach = 2 * oddTaps.length - 1;
  const taps = new Float64Array(2 * reach + 1);
  taps[reach] = 0.5;
  oddTaps.forEach((tap, i) => (taps[reach - 2 * i - 1] = taps[reach + 2 * i + 1] = tap));
  return { taps, lead: reach, tail: reach };
}
