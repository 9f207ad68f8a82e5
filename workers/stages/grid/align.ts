/** Where each few seconds of a track sit against a steady beat. */
import { fold } from './fold.ts';
import type { OnsetCurves } from './onset-curve.ts';
import { parabolicPeak } from './statistics.ts';

/** Phases per beat. */
const BINS = 64;
/** Windows of about this length, in whole beats, s. */
const WINDOW_SECONDS = 4;
/** A window may sit this far from the steady beat, as a share of the beat. */
const REACH = 0.2;

/** How one window sits against the steady beat. */
export interface Alignment {
  /** Middle of the window, s. */
  time: number;
  /** s by which the window's beats come after the steady beat's. */
  shift: number;
  /** −1..1: how alike the window's and the track's folded onset curves are. */
  likeness: number;
  /** Onset strength in the window against the track's mean, 0..; times `likeness` this is the weight. */
  strength: number;
}

/**
 * Compares each window's onsets, folded at the beat, with those of the whole stretch, band by band: hats with
 * hats, kicks with kicks.
 * @param origin time of any beat, s
 * @param period s per beat
 * @param from first curve frame
 * @param to curve frame after the last
 */
export function alignWindows(
  curves: OnsetCurves,
  origin: number,
  period: number,
  from = 0,
  to = curves.frames,
): Alignment[] {
  const models = curves.bands.map((band) => centred(fold(band, curves, origin, period, BINS, from, to)));
  const beats = Math.max(2, Math.round(WINDOW_SECONDS / period));
  const length = (beats * period) / curves.hop;
  const count = Math.max(1, Math.floor((to - from) / length));
  const reach = Math.ceil(REACH * BINS);
  const modelPower = models.reduce((sum, model) => sum + dot(model, model, 0), 0);
  const out: Alignment[] = [];
  for (let w = 0; w < count; w++) {
    const start = Math.round(from + w * length);
    const end = Math.min(to, Math.round(from + (w + 1) * length));
    const local = curves.bands.map((band) => centred(fold(band, curves, origin, period, BINS, start, end)));
    const power = local.reduce((sum, profile) => sum + dot(profile, profile, 0), 0);
    let best = -Infinity;
    let at = 0;
    const scores = new Float64Array(2 * reach + 3);
    for (let s = -reach - 1; s <= reach + 1; s++) {
      let score = 0;
      for (let b = 0; b < models.length; b++) score += dot(models[b], local[b], s);
      scores[s + reach + 1] = score;
      if (Math.abs(s) <= reach && score > best) {
        best = score;
        at = s;
      }
    }
    const i = at + reach + 1;
    const peak = parabolicPeak(scores[i - 1], scores[i], scores[i + 1]);
    out.push({
      time: curves.offset + ((start + end) / 2) * curves.hop,
      shift: ((at + peak) / BINS) * period,
      likeness: power > 0 && modelPower > 0 ? best / Math.sqrt(power * modelPower) : 0,
      strength: modelPower > 0 ? Math.sqrt(power / modelPower) : 0,
    });
  }
  return out;
}

/** What a window says counts by how clear it is; what is unlike the track counts nothing. */
export function alignmentWeight(a: Alignment): number {
  return Math.max(0, a.likeness) ** 2 * Math.min(1, a.strength);
}

function centred(profile: Float64Array): Float64Array {
  let mean = 0;
  for (const x of profile) mean += x / profile.length;
  return profile.map((x) => x - mean);
}

/** Circular Σ a[i] b[i + shift]. */
function dot(a: Float64Array, b: Float64Array, shift: number): number {
  const n = a.length;
  let sum = 0;
  for (let i = 0, j = ((shift % n) + n) % n; i < n; i++) {
    sum += a[i] * b[j];
    if (++j === n) j = 0;
  }
  return sum;
}
