/** Samples between samples: a short windowed sinc (see `copy/polyphase.ts` for the window and its source). */
import { bessel0 } from '../copy/polyphase.ts';

/** Both channels of a track, of one length, at the player's sample rate. */
export type Pcm = readonly [left: Float32Array, right: Float32Array];

const TAPS = 24;
const HALF = TAPS / 2;
const PHASES = 512;
const BETA = 8;
/** Of the Nyquist frequency: what stands above it is let go for a filter this short. */
const CUTOFF = 0.92;
/** Speeds that have a filter of their own, so that what is read faster does not fold back. */
const SPEEDS = [1, 1.2, 1.6, 2];

/** One more phase than there are, so that the last one has a neighbour to go over to. */
function bank(speed: number): Float32Array {
  const cutoff = CUTOFF / speed;
  const weights = new Float32Array((PHASES + 1) * TAPS);
  for (let p = 0; p <= PHASES; p++) {
    let sum = 0;
    for (let k = 0; k < TAPS; k++) {
      const distance = k - (HALF - 1) - p / PHASES;
      const angle = Math.PI * cutoff * distance;
      const window = bessel0(BETA * Math.sqrt(Math.max(0, 1 - (distance / HALF) ** 2)));
      sum += weights[p * TAPS + k] = (Math.abs(angle) < 1e-9 ? 1 : Math.sin(angle) / angle) * window;
    }
    for (let k = 0; k < TAPS; k++) weights[p * TAPS + k] /= sum;
  }
  return weights;
}

const banks = SPEEDS.map(bank);
const bankFor = (speed: number): Float32Array => {
  const i = SPEEDS.findIndex((each) => speed <= each + 1e-9);
  return banks[i < 0 ? banks.length - 1 : i];
};

/**
 * Reads `count` samples of both channels from `place` on in steps of `step`, weighted by `gains`, and adds them.
 * A whole place in steps of ±1 is the samples themselves. Before and after the track is silence.
 * @param gains one gain per sample, or null for 1
 */
export function readInto(
  pcm: Pcm,
  place: number,
  step: number,
  out: readonly [Float32Array, Float32Array],
  at: number,
  count: number,
  gains: Float32Array | null,
): void {
  if (Math.abs(step) === 1 && Number.isInteger(place)) copyInto(pcm, place, step, out, at, count, gains);
  else sincInto(pcm, place, step, out, at, count, gains);
}

function copyInto(
  [left, right]: Pcm,
  place: number,
  step: number,
  [outLeft, outRight]: readonly [Float32Array, Float32Array],
  at: number,
  count: number,
  gains: Float32Array | null,
): void {
  for (let i = 0; i < count; i++) {
    const n = place + i * step;
    if (n < 0 || n >= left.length) continue;
    const gain = gains ? gains[i] : 1;
    outLeft[at + i] += gain * left[n];
    outRight[at + i] += gain * right[n];
  }
}

function sincInto(
  [left, right]: Pcm,
  place: number,
  step: number,
  [outLeft, outRight]: readonly [Float32Array, Float32Array],
  at: number,
  count: number,
  gains: Float32Array | null,
): void {
  const weights = bankFor(Math.abs(step));
  for (let i = 0; i < count; i++) {
    const where = place + i * step;
    const whole = Math.floor(where);
    const first = whole - (HALF - 1);
    if (first + TAPS <= 0 || first >= left.length) continue;
    const phase = (where - whole) * PHASES;
    const p = Math.floor(phase);
    const between = phase - p;
    const from = Math.max(0, -first);
    const to = Math.min(TAPS, left.length - first);
    let sumLeft = 0;
    let sumRight = 0;
    for (let k = from; k < to; k++) {
      const here = weights[p * TAPS + k];
      const weight = here + between * (weights[(p + 1) * TAPS + k] - here);
      sumLeft += weight * left[first + k];
      sumRight += weight * right[first + k];
    }
    const gain = gains ? gains[i] : 1;
    outLeft[at + i] += gain * sumLeft;
    outRight[at + i] += gain * sumRight;
  }
}
