/** One-shots and the bed that they are mixed into. */

/** Stereo samples, linear. A mono voice has one array for both sides. */
export interface Voice {
  left: Float32Array;
  right: Float32Array;
}

const QUARTER_TURN = Math.PI / 2;
const FADE_SECONDS = 0.004;

/** A silent stereo bed of `length` samples. */
export function bed(length: number): Voice {
  return { left: new Float32Array(length), right: new Float32Array(length) };
}

/** One array heard on both sides. */
export function mono(samples: Float32Array): Voice {
  return { left: samples, right: samples };
}

/** Gains of the two sides for `pan` −1 (left) .. 1 (right), constant power, 1 and 1 in the middle. */
export function panGains(pan: number): [left: number, right: number] {
  const angle = ((pan + 1) / 2) * QUARTER_TURN;
  return [Math.SQRT2 * Math.cos(angle), Math.SQRT2 * Math.sin(angle)];
}

/** Adds `voice` to `target` from sample `at` on (cut at both ends of the target). */
export function mix(target: Voice, voice: Voice, at: number, gain: number, pan = 0): void {
  const [left, right] = pan === 0 ? [1, 1] : panGains(pan);
  add(target.left, voice.left, at, gain * left);
  add(target.right, voice.right, at, gain * right);
}

function add(target: Float32Array, source: Float32Array, at: number, gain: number): void {
  const from = Math.max(0, -at);
  const to = Math.min(source.length, target.length - at);
  for (let i = from; i < to; i++) target[at + i] += source[i] * gain;
}

/** Fades the last milliseconds to nothing, so that a cut voice does not click. */
export function fadeTail(samples: Float32Array, rate: number, seconds = FADE_SECONDS): Float32Array {
  const length = Math.min(samples.length, Math.round(seconds * rate));
  for (let i = 0; i < length; i++) samples[samples.length - 1 - i] *= i / length;
  return samples;
}

/** Brings the largest sample of both sides to `peak`. */
export function normalise(voice: Voice, peak = 1): Voice {
  let top = 0;
  for (const side of sides(voice)) for (const x of side) if (Math.abs(x) > top) top = Math.abs(x);
  if (top > 0) for (const side of sides(voice)) for (let i = 0; i < side.length; i++) side[i] *= peak / top;
  return voice;
}

/** The voice's distinct arrays: one for a mono voice, else two. */
export function sides(voice: Voice): Float32Array[] {
  return voice.left === voice.right ? [voice.left] : [voice.left, voice.right];
}

/** What a tail may fall to before it is cut: 66 dB below full scale, far under anything it is mixed with. */
const TAIL_LEVEL = 10 ** (-66 / 20);

/** The voice without the end of its tail that nobody hears, so that mixing it costs less. */
export function trimTail(voice: Voice, rate: number): Voice {
  const { left, right } = voice;
  let end = left.length;
  while (end > 0 && Math.abs(left[end - 1]) < TAIL_LEVEL && Math.abs(right[end - 1]) < TAIL_LEVEL) end--;
  if (end === left.length) return voice;
  const cut = sides(voice).map((side) => fadeTail(side.slice(0, end), rate));
  return { left: cut[0], right: cut[1] ?? cut[0] };
}
