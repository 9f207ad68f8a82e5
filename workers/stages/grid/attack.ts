/** Where exactly the drum begins: the beat is the attack of the hit on it, not the middle of its rise. */
import { BASS, BODY, MIDDLE, PRESENCE, type GridFeatures } from './features.ts';

/** Half of the stretch around each beat that is looked at, s. */
const REACH_SECONDS = 0.07;
/** Resolution of the laid-over attack, s. */
const BIN_SECONDS = 0.001;
/**
 * The rise is looked for this far around the expected beat, s; further before it, since a clap's last burst
 * makes a stronger onset than its first.
 */
const SEARCH_SECONDS = { before: 0.045, after: 0.025 };
/** A rise this large against the largest counts as the beginning when it comes first. */
const EARLIER_RISE = 0.6;
/** Over this long the level may rise, s. */
const RISE_SECONDS = 0.012;
/** Share of a rise (in dB) at which it has begun. */
const BEGUN = 0.3;
/** Beats that are looked at; more change nothing. */
const MOST_BEATS = 600;
/** Levels below this share of the loudest are silence. */
const FLOOR = 1e-5;

/** Bands that show attacks without delay come first; the bass filter's own delay is taken off. */
const ATTACK_BANDS = [
  { band: PRESENCE, delay: 0 },
  { band: MIDDLE, delay: 0.0004 },
  { band: BODY, delay: 0.001 },
  { band: BASS, delay: 0.0035 },
];

/**
 * Lays the fine levels around all beats over each other and finds where the common rise begins.
 * @param times beat times, s (each within about 20 ms of its attack)
 * @returns s to add to every time, and the size of the rise in dB (0 when there is none to see)
 */
export function attackOffset(
  features: GridFeatures,
  times: ArrayLike<number>,
): { shift: number; rise: number } {
  const bins = 2 * Math.round(REACH_SECONDS / BIN_SECONDS) + 1;
  let weight = 0;
  let sum = 0;
  let largest = 0;
  for (const { band, delay } of ATTACK_BANDS) {
    const profile = layOver(features, features.energy[band], times, bins);
    const found = beginning(profile);
    if (!found) continue;
    const w = found.rise * found.rise;
    sum += w * (found.time - delay);
    weight += w;
    largest = Math.max(largest, found.rise);
  }
  return weight > 0 ? { shift: sum / weight, rise: largest } : { shift: 0, rise: 0 };
}

/** Mean level in dB at each millisecond around the beats. */
function layOver(
  features: GridFeatures,
  energy: Float32Array,
  times: ArrayLike<number>,
  bins: number,
): Float64Array {
  const { hop, frames } = features;
  const stride = Math.max(1, Math.ceil(times.length / MOST_BEATS));
  const sum = new Float64Array(bins);
  const weight = new Float64Array(bins);
  let top = 0;
  for (let j = 0; j < frames; j += 7) if (energy[j] > top) top = energy[j];
  const floor = top * FLOOR + 1e-12;
  for (let n = 0; n < times.length; n += stride) {
    const first = Math.max(0, Math.ceil((times[n] - REACH_SECONDS) / hop - 0.5));
    const last = Math.min(frames - 1, Math.floor((times[n] + REACH_SECONDS) / hop - 0.5));
    for (let j = first; j <= last; j++) {
      // A frame stands for its middle.
      const x = ((j + 0.5) * hop - times[n] + REACH_SECONDS) / BIN_SECONDS;
      const i = Math.floor(x);
      if (i < 0 || i + 1 >= bins) continue;
      const level = Math.log10(energy[j] + floor);
      sum[i] += level * (1 - x + i);
      weight[i] += 1 - x + i;
      sum[i + 1] += level * (x - i);
      weight[i + 1] += x - i;
    }
  }
  let last = NaN;
  for (let i = 0; i < bins; i++) {
    // Where frames and beats fall in step some milliseconds stay empty: carry the last one.
    if (weight[i] > 1e-9) last = (10 * sum[i]) / weight[i];
    sum[i] = last;
  }
  return sum;
}

/** Where the steepest rise near the middle of a profile begins, s from the middle. */
function beginning(profile: Float64Array): { time: number; rise: number } | null {
  const middle = (profile.length - 1) / 2;
  const length = Math.round(RISE_SECONDS / BIN_SECONDS);
  const first = Math.max(0, middle - Math.round(SEARCH_SECONDS.before / BIN_SECONDS) - length);
  const last = middle + Math.round(SEARCH_SECONDS.after / BIN_SECONDS);
  let largest = 0;
  for (let i = first; i <= last; i++) largest = Math.max(largest, profile[i + length] - profile[i]);
  let rise = 0;
  let at = first;
  for (let i = first; i <= last; i++) {
    const r = profile[i + length] - profile[i];
    if (r > rise) {
      rise = r;
      at = i;
    } else if (rise > EARLIER_RISE * largest && i > at + 2) break;
  }
  if (rise < 1) return null;
  // The foot: the lowest level just before the rise; the head: the highest in it.
  let foot = Infinity;
  for (let i = Math.max(0, at - 4); i <= at + length; i++) foot = Math.min(foot, profile[i]);
  let head = -Infinity;
  for (let i = at; i <= at + length; i++) head = Math.max(head, profile[i]);
  const threshold = foot + BEGUN * (head - foot);
  let i = at + length;
  while (i > 0 && profile[i] > threshold) i--;
  const part = (threshold - profile[i]) / Math.max(1e-9, profile[i + 1] - profile[i]);
  return { time: (i + part - middle) * BIN_SECONDS, rise: head - foot };
}
