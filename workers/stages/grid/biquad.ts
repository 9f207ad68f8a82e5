/**
 * Second-order sections for the low-rate branch. Coefficients after the W3C note "Audio EQ Cookbook"
 * (low-pass and high-pass), a0 normalised to 1.
 */
export interface Biquad {
  b0: number;
  b1: number;
  b2: number;
  a1: number;
  a2: number;
}

/** Q values of the two halves of a 4th-order Butterworth filter: 1 / (2 cos(π/8)) and 1 / (2 cos(3π/8)). */
export const BUTTERWORTH_4_Q = [0.5411961, 1.306563];

export function designBiquad(
  kind: 'lowpass' | 'highpass',
  hz: number,
  q: number,
  sampleRate: number,
): Biquad {
  const w = (2 * Math.PI * Math.min(hz, sampleRate * 0.45)) / sampleRate;
  const cos = Math.cos(w);
  const alpha = Math.sin(w) / (2 * q);
  const a0 = 1 + alpha;
  const edge = kind === 'lowpass' ? 1 - cos : 1 + cos;
  const b0 = edge / 2 / a0;
  return {
    b0,
    b1: (kind === 'lowpass' ? 2 : -2) * b0,
    b2: b0,
    a1: (-2 * cos) / a0,
    a2: (1 - alpha) / a0,
  };
}
