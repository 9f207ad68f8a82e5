/** Where each few seconds of a track sit against its pulse. */
import { release } from '../../release.ts';
import type { OnsetCurves } from './onset-curve.ts';
import type { Pulse } from './pulse.ts';
import { parabolicPeak } from './statistics.ts';

/** Phases per beat. */
const BINS = 48;
/** A window may sit this far from the pulse, as a share of the beat. */
const REACH = 0.2;

/** How one window sits against the pulse. */
export interface Alignment {
  /** Middle of the window, s. */
  time: number;
  /** Position of the middle in the pulse, beats. */
  beat: number;
  /** Beats by which the window's onsets come after the pulse's. */
  shift: number;
  /** −1..1: how alike the window's and the whole stretch's folded onset curves are. */
  likeness: number;
  /** Onset strength in the window against the mean of the stretch, 0..; */
  strength: number;
}

/**
 * Compares each window's onsets, folded at the beat, with those of the whole stretch, band by band: hats with
 * hats, kicks with kicks.
 * @param windowBeats beats per window
 * @param from first curve frame
 * @param to curve frame after the last
 */
export function alignWindows(
  curves: OnsetCurves,
  pulse: Pulse,
  windowBeats: number,
  from = 0,
  to = curves.frames,
): Alignment[] {
  if (to - from < 2) return [];
  const width = curves.bands.length * BINS;
  const firstBeat = pulse[from];
  const count = Math.max(1, Math.floor((pulse[to - 1] - firstBeat) / windowBeats + 1e-9));
  const profiles = new Float64Array(count * width);
  const local = Array.from({ length: count }, (_, w) => profiles.subarray(w * width, (w + 1) * width));
  const frames = new Float64Array(count);
  // Where each frame falls is the same for all bands, so it is worked out once and each band is one plain loop.
  const places = new Int32Array(to - from);
  const nexts = new Int32Array(to - from);
  const parts = new Float64Array(to - from);
  for (let j = from, n = 0; j < to; j++, n++) {
    const beat = pulse[j];
    const w = Math.min(count - 1, Math.floor((beat - firstBeat) / windowBeats));
    frames[w]++;
    const x = (beat - Math.floor(beat)) * BINS;
    const i = Math.floor(x);
    places[n] = w * width + i;
    nexts[n] = w * width + (i + 1 === BINS ? 0 : i + 1);
    parts[n] = x - i;
  }
  curves.bands.forEach((band, b) => {
    const first = b * BINS;
    for (let n = 0; n < places.length; n++) {
      const y = band[from + n];
      if (y === 0) continue;
      const part = parts[n];
      profiles[first + places[n]] += y * (1 - part);
      profiles[first + nexts[n]] += y * part;
    }
  });
  for (const scratch of [places, nexts, parts]) release(scratch);
  const model = new Float64Array(width);
  for (const profile of local) for (let i = 0; i < width; i++) model[i] += profile[i];
  const total = to - from;
  centre(model, total);
  const modelPower = power(model);
  const reach = Math.ceil(REACH * BINS);
  const scores = new Float64Array(2 * reach + 3);
  const out: Alignment[] = [];
  for (let w = 0; w < count; w++) {
    const profile = local[w];
    centre(profile, frames[w]);
    const localPower = power(profile);
    let at = 0;
    let best = -Infinity;
    for (let s = -reach - 1; s <= reach + 1; s++) {
      const score = crossed(model, profile, s);
      scores[s + reach + 1] = score;
      if (Math.abs(s) <= reach && score > best) {
        best = score;
        at = s;
      }
    }
    const i = at + reach + 1;
    const beat = firstBeat + (w + 0.5) * windowBeats;
    out.push({
      time: 0,
      beat,
      shift: (at + parabolicPeak(scores[i - 1], scores[i], scores[i + 1])) / BINS,
      likeness: localPower > 0 && modelPower > 0 ? best / Math.sqrt(localPower * modelPower) : 0,
      strength: modelPower > 0 ? Math.sqrt(localPower / modelPower) : 0,
    });
  }
  release(profiles);
  placeInTime(out, curves, pulse, from, to);
  return out;
}

/** What a window says counts by how clear it is; what is unlike the track counts nothing. */
export function alignmentWeight(a: Alignment): number {
  return Math.max(0, a.likeness) ** 2 * Math.min(1, a.strength);
}

function placeInTime(list: Alignment[], curves: OnsetCurves, pulse: Pulse, from: number, to: number): void {
  let j = from;
  for (const a of list) {
    while (j + 1 < to && pulse[j] < a.beat) j++;
    a.time = curves.offset + j * curves.hop;
  }
}

/** Turns sums into means and takes each band's mean off. */
function centre(profile: Float64Array, frames: number): void {
  const perBin = Math.max(1, frames / BINS);
  for (let b = 0; b < profile.length; b += BINS) {
    let mean = 0;
    for (let i = b; i < b + BINS; i++) mean += profile[i] / BINS;
    for (let i = b; i < b + BINS; i++) profile[i] = (profile[i] - mean) / perBin;
  }
}

function power(profile: Float64Array): number {
  let sum = 0;
  for (const x of profile) sum += x * x;
  return sum;
}

/** Σ over bands of the circular product a[i] b[i + shift]. */
function crossed(a: Float64Array, b: Float64Array, shift: number): number {
  const offset = ((shift % BINS) + BINS) % BINS;
  let sum = 0;
  for (let band = 0; band < a.length; band += BINS) {
    for (let i = 0, j = offset; i < BINS; i++) {
      sum += a[band + i] * b[band + j];
      if (++j === BINS) j = 0;
    }
  }
  return sum;
}
