/**
 * From the power of short steps to loudness figures. All take the channel-weighted mean square of the
 * K-weighted signal over each consecutive step: `steps` of 100 ms where the documents ask for those, else
 * `fine` ones of 20 ms.
 */

/** Steps per second: 400 ms gating blocks that overlap by 75 % advance by 100 ms (BS.1770-4). */
export const STEPS_PER_SECOND = 10;
/**
 * Fine steps per second. A running meter's maximum must not depend on where a sound begins: at 20 ms the largest
 * 400 ms window is missed by at most 10 ms, which is 0.11 LU, at 100 ms it would be 0.6 LU.
 */
export const FINE_PER_SECOND = 50;
const FINE_PER_STEP = FINE_PER_SECOND / STEPS_PER_SECOND;
const GATING_STEPS = 4;
const SHORT_TERM_STEPS = 30;
const MOMENTARY_SECONDS = 0.4;
const SHORT_TERM_SECONDS = 3;
const ABSOLUTE_GATE_LUFS = -70;
/** LU below the mean (BS.1770-4). */
const RELATIVE_GATE = 10;
/** LU below the mean, for the range (EBU Tech 3342). */
const RANGE_RELATIVE_GATE = 20;
const RANGE_LOW_PERCENT = 10;
const RANGE_HIGH_PERCENT = 95;
/** LUFS of a full mean square of 1 (BS.1770-4, equation 2). */
const OFFSET_LUFS = -0.691;

export function powerToLufs(power: number): number {
  return power > 0 ? OFFSET_LUFS + 10 * Math.log10(power) : -Infinity;
}

function lufsToPower(lufs: number): number {
  return 10 ** ((lufs - OFFSET_LUFS) / 10);
}

const ABSOLUTE_GATE = lufsToPower(ABSOLUTE_GATE_LUFS);

/** The 100 ms steps that fine ones make up; an unfinished one is left out. */
export function stepsOf(fine: Float64Array): Float64Array {
  return Float64Array.from({ length: Math.floor(fine.length / FINE_PER_STEP) }, (_, i) =>
    mean(fine.subarray(i * FINE_PER_STEP, (i + 1) * FINE_PER_STEP)),
  );
}

/** Mean power of every window of `width` steps, advanced by one step. Empty when the track is shorter. */
function windows(steps: Float64Array, width: number): Float64Array {
  const means = new Float64Array(Math.max(0, steps.length - width + 1));
  for (let i = 0; i < means.length; i++) {
    // Summed afresh each time: a running sum would leave rounding behind after a loud passage.
    let sum = 0;
    for (let j = i; j < i + width; j++) sum += steps[j];
    means[i] = sum / width;
  }
  return means;
}

/** Those above both gates: the absolute one, then `relative` LU below the mean of the ones left. */
function gate(powers: Float64Array, relative: number): Float64Array {
  const loud = powers.filter((p) => p > ABSOLUTE_GATE);
  const threshold = mean(loud) * 10 ** (-relative / 10);
  return loud.filter((p) => p > threshold);
}

function mean(values: Float64Array): number {
  let sum = 0;
  for (const v of values) sum += v;
  return values.length ? sum / values.length : 0;
}

/**
 * Integrated loudness, LUFS (BS.1770-4, equations 3 to 7).
 * −Infinity when no 400 ms block lies above the absolute gate of −70 LUFS.
 */
export function integrated(steps: Float64Array): number {
  return powerToLufs(mean(gate(windows(steps, GATING_STEPS), RELATIVE_GATE)));
}

/** Largest momentary loudness, LUFS (EBU Tech 3341: 400 ms, not gated). */
export function momentaryMax(fine: Float64Array): number {
  return largestWindow(fine, MOMENTARY_SECONDS);
}

/** Largest short-term loudness, LUFS (EBU Tech 3341: 3 s, not gated). */
export function shortTermMax(fine: Float64Array): number {
  return largestWindow(fine, SHORT_TERM_SECONDS);
}

/** A shorter track counts as followed by silence, as a running meter shows it. */
function largestWindow(fine: Float64Array, seconds: number): number {
  const width = Math.round(seconds * FINE_PER_SECOND);
  const padded = new Float64Array(Math.max(fine.length, width));
  padded.set(fine);
  return powerToLufs(windows(padded, width).reduce((a, b) => Math.max(a, b), 0));
}

/**
 * Loudness range, LU (EBU Tech 3342: 10th to 95th percentile of the gated short-term loudness; rank rounded
 * as in that document's code). 0 when nothing passes the gates.
 */
export function loudnessRange(steps: Float64Array): number {
  const kept = gate(windows(steps, SHORT_TERM_STEPS), RANGE_RELATIVE_GATE).sort();
  if (!kept.length) return 0;
  const at = (percent: number) => powerToLufs(kept[Math.round(((kept.length - 1) * percent) / 100)]);
  return at(RANGE_HIGH_PERCENT) - at(RANGE_LOW_PERCENT);
}
