import { bed, type Voice } from './voice.ts';

/** Delays of the parallel combs and of the allpasses, s: no common measure, a little apart on the two sides. */
const COMBS = [0.0297, 0.0371, 0.0411, 0.0437];
const ALLPASSES = [0.005, 0.0017];
const SPREAD = [1, 1.037];
const ALLPASS_GAIN = 0.7;
const DAMPING = 0.35;

/**
 * The voice with a room behind it, longer by `seconds` (the time for −60 dB). Parallel combs and serial
 * allpasses (Schroeder, "Natural Sounding Artificial Reverberation", 1962) with a one-pole damping.
 * @param wet level of the room against the voice, linear
 */
export function inRoom(rate: number, voice: Voice, seconds: number, wet: number): Voice {
  const length = voice.left.length + Math.round(rate * seconds);
  const out = bed(length);
  [out.left, out.right].forEach((target, n) => {
    const source = n === 0 ? voice.left : voice.right;
    const room = new Float32Array(length);
    for (const delay of COMBS) addComb(room, source, Math.round(delay * SPREAD[n] * rate), delay, seconds);
    for (const delay of ALLPASSES) allpass(room, Math.round(delay * SPREAD[n] * rate));
    for (let i = 0; i < length; i++) target[i] = (source[i] ?? 0) + (wet / COMBS.length) * room[i];
  });
  return out;
}

function addComb(
  room: Float32Array,
  source: Float32Array,
  lag: number,
  delay: number,
  seconds: number,
): void {
  const feedback = 10 ** ((-3 * delay) / seconds);
  const line = new Float32Array(lag);
  let damped = 0;
  for (let i = 0, at = 0; i < room.length; i++) {
    const here = line[at];
    damped = here * (1 - DAMPING) + damped * DAMPING;
    line[at] = (i < source.length ? source[i] : 0) + damped * feedback;
    room[i] += here;
    at = at + 1 === lag ? 0 : at + 1;
  }
}

function allpass(room: Float32Array, lag: number): void {
  const line = new Float32Array(lag);
  for (let i = 0, at = 0; i < room.length; i++) {
    const here = line[at];
    const x = room[i] - ALLPASS_GAIN * here;
    line[at] = x;
    room[i] = here + ALLPASS_GAIN * x;
    at = at + 1 === lag ? 0 : at + 1;
  }
}
