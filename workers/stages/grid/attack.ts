/** Where exactly the drum begins: the beat is the attack of the hit on it, not the middle of its rise. */
import { BASS, BODY, MIDDLE, PRESENCE, type GridFeatures } from './features.ts';

/** Half of the stretch around each beat that is looked at, s. */
const REACH_SECONDS = 0.07;
/** Resolution of the laid-over attack, s. */
const BIN_SECONDS = 0.001;
/** The rise is looked for this far around the expected beat, s. */
const SEARCH_SECONDS = 0.045;
/** Once the attack is known, the bands are read this near to it, s. */
const NEAR_SECONDS = 0.012;
/** A band's rise counts no more than this for which attack is meant, dB. */
const MOST_RISE_DB = 10;
/** Over this long the level may rise, s. */
const RISE_SECONDS = 0.012;
/** A smaller rise is none, dB. */
const LEAST_RISE_DB = 1;
/** Share of a rise (in dB) at which it has begun. */
const BEGUN = 0.3;
/**
 * A frame rises as soon as its end passes the attack, half a frame before its middle does, and low thresholds
 * are passed early: the mean lead measured on generated songs is 0.7 frames (2 ms).
 */
const FRAME_LEAD = 0.7;
/** Beats that are looked at; more change nothing. */
const MOST_BEATS = 600;
/** Levels below this share of the loudest are silence. */
const FLOOR = 1e-5;

/** 10 log₁₀ x as a multiple of ln x, which is the quicker function. */
const DB_PER_NEPER = 10 / Math.LN10;

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
  const profiles = ATTACK_BANDS.map(({ band }) => layOver(features, features.energy[band], times, bins));
  const anchor = commonRise(profiles);
  if (anchor === null) return { shift: 0, rise: 0 };
  let weight = 0;
  let sum = 0;
  let largest = 0;
  profiles.forEach((profile, i) => {
    const found = beginning(profile, anchor, NEAR_SECONDS);
    if (!found) return;
    const w = found.rise * found.rise;
    sum += w * (found.time - ATTACK_BANDS[i].delay);
    weight += w;
    largest = Math.max(largest, found.rise);
  });
  return weight > 0
    ? { shift: sum / weight + FRAME_LEAD * features.hop, rise: largest }
    : { shift: 0, rise: 0 };
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
      const level = Math.log(energy[j] + floor);
      sum[i] += level * (1 - x + i);
      weight[i] += 1 - x + i;
      sum[i + 1] += level * (x - i);
      weight[i + 1] += x - i;
    }
  }
  let last = NaN;
  for (let i = 0; i < bins; i++) {
    // Where frames and beats fall in step some milliseconds stay empty: carry the last one.
    if (weight[i] > 1e-9) last = (DB_PER_NEPER * sum[i]) / weight[i];
    sum[i] = last;
  }
  return sum;
}

/**
 * Where the bands rise together, s from the middle of the profiles; null where none rises. A swung hat just before the
 * beat or the last burst of a clap after it rises as clearly as a kick does, but in fewer bands; and the bass of a kick
 * that comes into a bass line may rise long after its attack, when nothing else does.
 */
function commonRise(profiles: Float64Array[]): number | null {
  const middle = (profiles[0].length - 1) / 2;
  const length = Math.round(RISE_SECONDS / BIN_SECONDS);
  const reach = Math.round(SEARCH_SECONDS / BIN_SECONDS);
  let best = 0;
  let at = -1;
  for (let i = middle - reach; i <= middle + reach; i++) {
    const first = i - (length >> 1);
    let sum = 0;
    for (const profile of profiles) {
      sum += Math.min(MOST_RISE_DB, Math.max(0, profile[first + length] - profile[first]));
    }
    if (sum > best) {
      best = sum;
      at = i;
    }
  }
  return best < LEAST_RISE_DB ? null : (at - middle) * BIN_SECONDS;
}

interface Beginning {
  /** s from the middle of the profile */
  time: number;
  /** dB */
  rise: number;
}

/** Where the steepest rise within `search` seconds of `around` begins; null where nothing rises. */
function beginning(profile: Float64Array, around: number, search: number): Beginning | null {
  const middle = (profile.length - 1) / 2;
  const length = Math.round(RISE_SECONDS / BIN_SECONDS);
  const centre = middle + around / BIN_SECONDS;
  const first = Math.max(0, Math.round(centre - search / BIN_SECONDS - length / 2));
  const last = Math.min(profile.length - 1 - length, Math.round(centre + search / BIN_SECONDS - length / 2));
  let rise = 0;
  let at = first;
  for (let i = first; i <= last; i++) {
    const r = profile[i + length] - profile[i];
    if (r > rise) {
      rise = r;
      at = i;
    }
  }
  if (rise < LEAST_RISE_DB) return null;
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
