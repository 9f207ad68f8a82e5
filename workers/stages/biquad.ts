/**
 * Second-order filter sections. Formulas: "Audio EQ Cookbook" (Robert Bristow-Johnson, W3C Group Note,
 * https://www.w3.org/TR/audio-eq-cookbook/).
 */

/** Transfer function (b0 + b1 z⁻¹ + b2 z⁻²) / (1 + a1 z⁻¹ + a2 z⁻²). */
export interface Biquad {
  b0: number;
  b1: number;
  b2: number;
  a1: number;
  a2: number;
}

/** Quality of a Butterworth section (maximally flat, −3.01 dB at its frequency). */
export const BUTTERWORTH_Q = Math.SQRT1_2;

/**
 * Low-pass section.
 * @param frequency Hz, below half of `sampleRate`
 * @param sampleRate Hz
 */
export function lowpass(frequency: number, sampleRate: number, q = BUTTERWORTH_Q): Biquad {
  const { cos, alpha } = angle(frequency, sampleRate, q);
  return normalise((1 - cos) / 2, 1 - cos, (1 - cos) / 2, 1 + alpha, -2 * cos, 1 - alpha);
}

/** High-pass section; parameters as for `lowpass`. */
export function highpass(frequency: number, sampleRate: number, q = BUTTERWORTH_Q): Biquad {
  const { cos, alpha } = angle(frequency, sampleRate, q);
  return normalise((1 + cos) / 2, -(1 + cos), (1 + cos) / 2, 1 + alpha, -2 * cos, 1 - alpha);
}

/** All-pass section; parameters as for `lowpass`. */
export function allpass(frequency: number, sampleRate: number, q = BUTTERWORTH_Q): Biquad {
  const { cos, alpha } = angle(frequency, sampleRate, q);
  return normalise(1 - alpha, -2 * cos, 1 + alpha, 1 + alpha, -2 * cos, 1 - alpha);
}

/** Complex response of a section at `frequency` Hz as [real, imaginary]. */
export function response(section: Biquad, frequency: number, sampleRate: number): [number, number] {
  const w = (2 * Math.PI * frequency) / sampleRate;
  const [c1, s1, c2, s2] = [Math.cos(w), -Math.sin(w), Math.cos(2 * w), -Math.sin(2 * w)];
  const { b0, b1, b2, a1, a2 } = section;
  const [nr, ni] = [b0 + b1 * c1 + b2 * c2, b1 * s1 + b2 * s2];
  const [dr, di] = [1 + a1 * c1 + a2 * c2, a1 * s1 + a2 * s2];
  const d = dr * dr + di * di;
  return [(nr * dr + ni * di) / d, (ni * dr - nr * di) / d];
}

function angle(frequency: number, sampleRate: number, q: number) {
  if (!(frequency > 0 && frequency < sampleRate / 2))
    throw new RangeError(`A filter at ${frequency} Hz is not possible at ${sampleRate} samples a second.`);
  const w0 = (2 * Math.PI * frequency) / sampleRate;
  return { cos: Math.cos(w0), alpha: Math.sin(w0) / (2 * q) };
}

function normalise(b0: number, b1: number, b2: number, a0: number, a1: number, a2: number): Biquad {
  return { b0: b0 / a0, b1: b1 / a0, b2: b2 / a0, a1: a1 / a0, a2: a2 / a0 };
}
