/**
 * The K-weighting of ITU-R BS.1770-4, Annex 1: a high shelf (the head) followed by a high-pass ("RLB").
 *
 * The recommendation prints coefficients for 48 kHz only and asks that other rates get "a filter with the
 * same frequency response". The analogue parameters below, put through the bilinear transform, give the
 * printed table at 48 kHz to all its digits; they are the ones published by B. De Man, "Evaluation of
 * implementations of the EBU R128 loudness measurement", AES 145 (2018).
 */

/** A second-order section: y = b0 x + b1 x' + b2 x'' − a1 y' − a2 y'' (a0 = 1). */
export interface Section2 {
  b0: number;
  b1: number;
  b2: number;
  a1: number;
  a2: number;
}

export interface KWeighting {
  shelf: Section2;
  highPass: Section2;
}

const SHELF_HZ = 1681.974450955533;
const SHELF_DB = 3.999843853973347;
const SHELF_Q = 0.7071752369554196;
/** Exponent that gives the gain at the middle of the shelf. */
const SHELF_MIDDLE = 0.4996667741545416;
const HIGH_PASS_HZ = 38.13547087602444;
const HIGH_PASS_Q = 0.5003270373238773;
const TABLE_RATE = 48000;
/** Below this rate, in Hz, the bilinear transform bends the shelf by more than 0.05 dB. */
const LOWEST_BILINEAR_RATE = 40000;

/**
 * K-weighting at any rate.
 * @param sampleRate Hz
 */
export function kWeighting(sampleRate: number): KWeighting {
  return {
    shelf: sampleRate < LOWEST_BILINEAR_RATE ? matchedShelf(sampleRate) : highShelf(sampleRate),
    highPass: highPass(sampleRate),
  };
}

function highShelf(sampleRate: number): Section2 {
  const k = Math.tan((Math.PI * SHELF_HZ) / sampleRate);
  const top = 10 ** (SHELF_DB / 20);
  const middle = top ** SHELF_MIDDLE;
  const a0 = 1 + k / SHELF_Q + k * k;
  return {
    b0: (top + (middle * k) / SHELF_Q + k * k) / a0,
    b1: (2 * (k * k - top)) / a0,
    b2: (top - (middle * k) / SHELF_Q + k * k) / a0,
    a1: (2 * (k * k - 1)) / a0,
    a2: (1 - k / SHELF_Q + k * k) / a0,
  };
}

/**
 * The shelf for low rates: poles of the analogue filter, and a numerator that gives the magnitude of the 48 kHz
 * filter at 0 Hz, at the shelf's frequency and at half the rate (method: M. Vicanek, "Matched Second Order
 * Digital Filters", 2016).
 */
function matchedShelf(sampleRate: number): Section2 {
  const table = highShelf(TABLE_RATE);
  const w = (2 * Math.PI * SHELF_HZ) / sampleRate;
  const a1 =
    -2 * Math.exp(-w / (2 * SHELF_Q)) * Math.cos(w * Math.sqrt(Math.abs(1 - 1 / (4 * SHELF_Q ** 2))));
  const a2 = Math.exp(-w / SHELF_Q);
  const atZero = (1 + a1 + a2) ** 2;
  const atHalf = (1 - a1 + a2) ** 2;
  const high = Math.sin(w / 2) ** 2;
  const low = 1 - high;
  const both = 4 * low * high;
  const zero = powerGain(table, 0, TABLE_RATE) * atZero;
  const half = powerGain(table, sampleRate / 2, TABLE_RATE) * atHalf;
  const denominator = atZero * low + atHalf * high - 4 * a2 * both;
  const middle = (powerGain(table, SHELF_HZ, TABLE_RATE) * denominator - zero * low - half * high) / both;
  const sum = (Math.sqrt(zero) + Math.sqrt(half)) / 2;
  const b0 = (sum + Math.sqrt(sum * sum + middle)) / 2;
  return { b0, b1: (Math.sqrt(zero) - Math.sqrt(half)) / 2, b2: -middle / (4 * b0), a1, a2 };
}

function highPass(sampleRate: number): Section2 {
  const denominator = (rate: number) => {
    const k = Math.tan((Math.PI * HIGH_PASS_HZ) / rate);
    return { k, a0: 1 + k / HIGH_PASS_Q + k * k };
  };
  const { k, a0 } = denominator(sampleRate);
  // The printed numerator is 1, −2, 1, which leaves the pass band 0.04 dB high at 48 kHz. That excess belongs
  // to the recommendation's calibration, so it is carried to every rate unchanged.
  const b0 = denominator(TABLE_RATE).a0 / a0;
  return { b0, b1: -2 * b0, b2: b0, a1: (2 * (k * k - 1)) / a0, a2: (1 - k / HIGH_PASS_Q + k * k) / a0 };
}

/** Gain of a section at `hz`, linear power. */
export function powerGain(section: Section2, hz: number, sampleRate: number): number {
  const w = (2 * Math.PI * hz) / sampleRate;
  const square = (c0: number, c1: number, c2: number) =>
    (c0 + c1 * Math.cos(w) + c2 * Math.cos(2 * w)) ** 2 + (c1 * Math.sin(w) + c2 * Math.sin(2 * w)) ** 2;
  return square(section.b0, section.b1, section.b2) / square(1, section.a1, section.a2);
}

/** Below this a filter state is taken as silence, so that it never decays into slow denormal numbers. */
export const SILENT_STATE = 1e-30;
/** State words that `weighPair` needs: two sections of two words for each of two channels. */
export const PAIR_STATE = 8;
/** Mean squares of the two channels, as `weighPair` leaves them. */
export type PairPower = Float64Array;

/**
 * Filters two channels side by side and adds the squares of what comes out to `power[0]` and `power[1]`.
 * Two channels in one loop keep the processor's pipelines filled: a lone recursive filter waits for itself.
 * @param state PAIR_STATE words, kept by the caller between calls
 */
export function weighPair(
  weighting: KWeighting,
  left: Float32Array,
  right: Float32Array,
  from: number,
  to: number,
  state: Float64Array,
  power: PairPower,
): void {
  const { shelf, highPass } = weighting;
  // Both sections run with their first coefficient taken out; it is put back into the power at the end.
  const b1 = shelf.b1 / shelf.b0;
  const b2 = shelf.b2 / shelf.b0;
  const { a1, a2 } = shelf;
  const { a1: d1, a2: d2 } = highPass;
  let [p1, p2, q1, q2, r1, r2, s1, s2] = state;
  let powerLeft = 0;
  let powerRight = 0;
  for (let i = from; i < to; i++) {
    const x = left[i];
    const y = right[i];
    const u = x + p1;
    const v = y + r1;
    p1 = b1 * x - a1 * u + p2;
    r1 = b1 * y - a1 * v + r2;
    p2 = b2 * x - a2 * u;
    r2 = b2 * y - a2 * v;
    const outLeft = u + q1;
    const outRight = v + s1;
    // The high-pass has the numerator 1, −2, 1.
    q1 = q2 - (u + u) - d1 * outLeft;
    s1 = s2 - (v + v) - d1 * outRight;
    q2 = u - d2 * outLeft;
    s2 = v - d2 * outRight;
    powerLeft += outLeft * outLeft;
    powerRight += outRight * outRight;
  }
  state.set([p1, p2, q1, q2, r1, r2, s1, s2]);
  for (let i = 0; i < PAIR_STATE; i++) if (Math.abs(state[i]) < SILENT_STATE) state[i] = 0;
  const scale = (shelf.b0 * highPass.b0) ** 2;
  power[0] += scale * powerLeft;
  power[1] += scale * powerRight;
}
