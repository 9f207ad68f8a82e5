/**
 * Splits a signal into bass, middle and treble by two 4th-order Linkwitz-Riley crossovers
 * (S. H. Linkwitz, "Active Crossover Networks for Noncoincident Drivers", J. Audio Eng. Soc. 24(1), 1976):
 * each branch is two cascaded 2nd-order Butterworth sections, −6.02 dB at the crossover, and the branches sum
 * to an all-pass. The bass runs through the upper crossover's all-pass too, so that all three bands sum to a
 * flat magnitude.
 *
 * Two things make it cheap, neither changes the result:
 * - the low-pass and the all-pass of one crossover have the same denominator, so in direct form II they share
 *   one state;
 * - LP² + HP² is exactly the 2nd-order Butterworth all-pass ((1 + s⁴) / (s² + √2 s + 1)² =
 *   (s² − √2 s + 1) / (s² + √2 s + 1)), so the high branch is the all-pass minus the low branch.
 */
import { BASS_MIDDLE_HZ, MIDDLE_TREBLE_HZ } from '../../shared/bands.ts';
import { lowpass } from './biquad.ts';

/**
 * Highest crossover as a share of the sample rate. A crossover above it (files below about 5.6 kHz) is moved
 * down to it: the treble is then what little remains, and the sections stay well conditioned.
 */
export const HIGHEST_CROSSOVER_SHARE = 0.45;

/** States below this level are set to 0 by `settle`, or they would decay into slow denormal numbers. */
export const STATE_FLOOR = 1e-30;

/** One crossover: the Butterworth section that its low-pass and all-pass share. */
export interface Crossover {
  a1: number;
  a2: number;
  /** Gain of the low-pass (1 + 2 z⁻¹ + z⁻²) numerator. */
  gain: number;
}

/** The lower and the upper crossover at `sampleRate` Hz. */
export function crossovers(sampleRate: number): { lower: Crossover; upper: Crossover } {
  const at = (frequency: number): Crossover => {
    const { a1, a2, b0 } = lowpass(Math.min(frequency, HIGHEST_CROSSOVER_SHARE * sampleRate), sampleRate);
    return { a1, a2, gain: b0 };
  };
  return { lower: at(BASS_MIDDLE_HZ), upper: at(MIDDLE_TREBLE_HZ) };
}

/** The split of one channel; keeps the filters' state between calls. */
export class BandSplit {
  readonly #lower: Crossover;
  readonly #upper: Crossover;
  /** Two delays of each of the five sections. */
  readonly #state = new Float64Array(10);

  /** @param sampleRate Hz */
  constructor(sampleRate: number) {
    const { lower, upper } = crossovers(sampleRate);
    this.#lower = lower;
    this.#upper = upper;
  }

  /**
   * Filters samples [from, to) of `input` and writes the bands to the start of the three outputs
   * (linear, each at least `to - from` long).
   */
  split(
    input: Float32Array,
    from: number,
    to: number,
    bass: Float64Array,
    middle: Float64Array,
    treble: Float64Array,
  ): void {
    const { a1: la1, a2: la2, gain: lg } = this.#lower;
    const { a1: ua1, a2: ua2, gain: ug } = this.#upper;
    const s = this.#state;
    let [p1, p2, q1, q2, r1, r2, u1, u2, v1, v2] = s;
    for (let i = from, o = 0; i < to; i++, o++) {
      const p = input[i] - la2 * p2 - la1 * p1;
      const lowOnce = lg * (p + p1 + (p1 + p2));
      const lowerAllpass = la2 * p + la1 * p1 + p2;
      p2 = p1;
      p1 = p;
      const q = lowOnce - la2 * q2 - la1 * q1;
      const low = lg * (q + q1 + (q1 + q2));
      q2 = q1;
      q1 = q;
      const r = lowerAllpass - low - ua2 * r2 - ua1 * r1;
      const middleOnce = ug * (r + r1 + (r1 + r2));
      const upperAllpass = ua2 * r + ua1 * r1 + r2;
      r2 = r1;
      r1 = r;
      const u = middleOnce - ua2 * u2 - ua1 * u1;
      const mid = ug * (u + u1 + (u1 + u2));
      u2 = u1;
      u1 = u;
      const v = low - ua2 * v2 - ua1 * v1;
      bass[o] = ua2 * v + ua1 * v1 + v2;
      v2 = v1;
      v1 = v;
      middle[o] = mid;
      treble[o] = upperAllpass - mid;
    }
    s[0] = p1;
    s[1] = p2;
    s[2] = q1;
    s[3] = q2;
    s[4] = r1;
    s[5] = r2;
    s[6] = u1;
    s[7] = u2;
    s[8] = v1;
    s[9] = v2;
  }

  /** Drops what is left of states below STATE_FLOOR. To be called every few milliseconds of audio. */
  settle(): void {
    const s = this.#state;
    for (let i = 0; i < s.length; i++) if (Math.abs(s[i]) < STATE_FLOOR) s[i] = 0;
  }
}
