/** Curves that speak for a beat: band onsets, drum-like coincidences, entries of parts, chord changes. */
import { release } from '../../release.ts';
import { BASS, BODY, MIDDLE, type GridFeatures, type Harmony } from './features.ts';
import type { OnsetCurves } from './onset-curve.ts';
import { quantile } from './statistics.ts';

/** One curve per cue, all at the onset curves' frames. */
export interface Cues {
  bass: Float32Array;
  body: Float32Array;
  middle: Float32Array;
  presence: Float32Array;
  air: Float32Array;
  /** Bass and a click at once: a kick, not a bass note. */
  kick: Float32Array;
  /** Middle and presence at once without bass: snare or clap. */
  snare: Float32Array;
  /** Onsets at which the seconds after are louder than the seconds before: parts come in. */
  entry: Float32Array;
  /** Onsets of the low bands that are stronger than anything for a while before: a part comes (back) in. */
  freshLow: Float32Array;
  /** The same of the high bands: a crash, a clap that comes in. */
  freshHigh: Float32Array;
  /** A low thud that is over at once, body first: a kick rather than a bass note. */
  thump: Float32Array;
  /** How much the chord changes. */
  chord: Float32Array;
  /** How much the harmony changes from the half second before to the half second after. */
  harmony: Float32Array;
  /** The same of the lowest two octaves: the bass goes to another note. */
  bassNote: Float32Array;
  /** Level of the bass, dB above its floor. */
  bassLevel: Float32Array;
  /** Level of the middle, dB above its floor: what a kick pushes down. */
  middleLevel: Float32Array;
}

export const CUE_NAMES = [
  'bass',
  'body',
  'middle',
  'presence',
  'air',
  'kick',
  'snare',
  'entry',
  'freshLow',
  'freshHigh',
  'thump',
  'chord',
  'harmony',
  'bassNote',
  'bassLevel',
  'middleLevel',
] as const satisfies (keyof Cues)[];

/** Stretch before and after an entry that is compared, s. */
const ENTRY_SECONDS = 2;
/** A change smaller than this is no entry, dB. */
const ENTRY_DB = 1.5;
/** Rise of the bass (as strength) that halves a snare's likelihood. */
const BASS_EXCUSE = 0.3;
/** A band's loud level: only so much of it is louder. */
const LOUD_QUANTILE = 0.98;
const FLOOR_DB = 45;
/** An onset is fresh when none like it was heard for this long, s. */
const FRESH_SECONDS = 2.1;
/** Onsets this near are one, s. */
const SAME_ONSET_SECONDS = 0.05;
/** Within this long a kick's body is over, s. */
const THUMP_SECONDS = 0.05;
/** Harmony frames before and after a change that are compared. */
const HARMONY_SIDE = 3;
/** Semitones of the lowest two octaves. */
const BASS_NOTES = 24;
/** 10 log₁₀ x as a multiple of ln x, which is the quicker function. */
const DB_PER_NEPER = 10 / Math.LN10;

/** What is made on the way is let go of at once: of a set of two hours each curve takes 3 MB. */
export function cuesOf(features: GridFeatures, curves: OnsetCurves): Cues {
  const n = curves.frames;
  const { hop } = curves;
  const bodyStrength = strengthOf(features.energy[BODY], n);
  const [bass, body, middle, presence, air] = features.energy.map((energy, band) => {
    const strength = band === BODY ? bodyStrength : strengthOf(energy, n);
    const rise = riseOf(strength);
    if (strength !== bodyStrength) release(strength);
    return rise;
  });
  const wideBass = widened(bass);
  const kick = kickOf(wideBass, body, presence);
  const snare = snareOf(wideBass, middle, presence);
  const thump = thumpOf(wideBass, burstOf(body, bodyStrength, Math.round(THUMP_SECONDS / hop)));
  release(wideBass);
  release(bodyStrength);
  const { entry, bassLevel, middleLevel } = levelCues(features, curves);
  return {
    bass,
    body,
    middle,
    presence,
    air,
    kick,
    snare,
    entry,
    freshLow: freshSum([bass, body], hop),
    freshHigh: freshSum([middle, presence, air], hop),
    thump,
    chord: chordChange(features.harmony, curves),
    harmony: harmonyChange(features.harmony, 0, features.harmony.bins, curves),
    bassNote: harmonyChange(features.harmony, 0, BASS_NOTES, curves),
    bassLevel,
    middleLevel,
  };
}

function kickOf(wideBass: Float32Array, body: Float32Array, presence: Float32Array): Float32Array {
  const wideBody = widened(body);
  const widePresence = widened(presence);
  const kick = wideBass.map((x, j) => Math.sqrt(x * (0.5 * wideBody[j] + 0.5 * widePresence[j])));
  release(wideBody);
  release(widePresence);
  return kick;
}

function snareOf(wideBass: Float32Array, middle: Float32Array, presence: Float32Array): Float32Array {
  const wideMiddle = widened(middle);
  const widePresence = widened(presence);
  const snare = wideBass.map((x, j) => Math.sqrt(wideMiddle[j] * widePresence[j]) / (1 + x / BASS_EXCUSE));
  release(wideMiddle);
  release(widePresence);
  return snare;
}

/** @param burst is let go of */
function thumpOf(wideBass: Float32Array, burst: Float32Array): Float32Array {
  const wideBurst = widened(burst);
  release(burst);
  const thump = wideBass.map((x, j) => Math.sqrt(x * wideBurst[j]));
  release(wideBurst);
  return thump;
}

/** Sum over bands of how fresh their onsets are. */
function freshSum(rises: Float32Array[], hop: number): Float32Array {
  const out = freshIn(rises[0], hop);
  for (const rise of rises.slice(1)) {
    const fresh = freshIn(rise, hop);
    for (let j = 0; j < out.length; j++) out[j] += fresh[j];
    release(fresh);
  }
  return out;
}

/**
 * A band's strength, 1 about its loud level. Strength is the fourth root of power: decibels would make a hat as
 * large as a snare, and power would leave nothing but the kick.
 */
function strengthOf(energy: Float32Array, frames: number): Float32Array {
  const ratio = Math.floor(energy.length / Math.max(1, frames));
  const strength = new Float32Array(frames);
  const loud = quantile(energy, LOUD_QUANTILE);
  if (!(loud > 1e-10)) return strength;
  let last = 0;
  for (let j = 0; j < frames; j++) {
    let sum = 0;
    for (let i = 0; i < ratio; i++) sum += energy[j * ratio + i];
    strength[j] = Math.sqrt(Math.sqrt((sum + last) / (2 * ratio * loud)));
    last = sum;
  }
  return strength;
}

/** Rise of a strength over two frames. */
function riseOf(strength: Float32Array): Float32Array {
  const out = new Float32Array(strength.length);
  for (let j = 1; j + 1 < out.length; j++) out[j] = Math.max(0, strength[j + 1] - strength[j - 1]);
  return out;
}

/** By how much each onset exceeds all of the FRESH_SECONDS before it. */
function freshIn(rise: Float32Array, hop: number): Float32Array {
  const span = Math.round(FRESH_SECONDS / hop);
  const near = Math.round(SAME_ONSET_SECONDS / hop);
  const out = new Float32Array(rise.length);
  // Places of falling rises within the span: the first is the largest.
  const queue = new Int32Array(rise.length);
  let first = 0;
  let end = 0;
  for (let j = near; j < out.length; j++) {
    const old = rise[j - near];
    while (end > first && rise[queue[end - 1]] <= old) end--;
    queue[end++] = j - near;
    if (queue[first] < j - span) first++;
    const excess = rise[j] - rise[queue[first]];
    if (excess > 0) out[j] = excess;
  }
  release(queue);
  return out;
}

/** Onsets of a band so far as it falls again within `span` frames. */
function burstOf(rise: Float32Array, strength: Float32Array, span: number): Float32Array {
  const out = new Float32Array(rise.length);
  for (let j = 1; j + span < out.length; j++) {
    const fall = strength[j + 1] - strength[j + span];
    if (fall > 0) out[j] = Math.min(rise[j], fall);
  }
  return out;
}

/** Largest value of each frame and its neighbours: bands need not rise in the very same frame. */
function widened(curve: Float32Array): Float32Array {
  const out = new Float32Array(curve.length);
  let before = 0;
  let here = curve.length > 0 ? curve[0] : 0;
  for (let j = 0; j < out.length; j++) {
    const after = j + 1 < out.length ? curve[j + 1] : 0;
    out[j] = Math.max(before, here, after);
    before = here;
    here = after;
  }
  return out;
}

/** Level at each curve frame, dB above a floor under the band's loudest. */
function levelOf(energy: Float32Array, frames: number): Float32Array {
  let top = 1e-10;
  for (let i = 0; i < energy.length; i++) if (energy[i] > top) top = energy[i];
  const floor = top * 10 ** (-FLOOR_DB / 10);
  const out = new Float32Array(frames);
  const ratio = Math.floor(energy.length / Math.max(1, frames));
  for (let j = 0; j < frames; j++) {
    let sum = 0;
    for (let i = 0; i < ratio; i++) sum += energy[j * ratio + i];
    out[j] = DB_PER_NEPER * Math.log(sum / ratio / floor + 1);
  }
  return out;
}

/** What the bands' levels tell: where parts come in, and the levels of bass and middle themselves. */
function levelCues(
  features: GridFeatures,
  curves: OnsetCurves,
): Pick<Cues, 'entry' | 'bassLevel' | 'middleLevel'> {
  const n = curves.frames;
  const entry = new Float32Array(n);
  const kept = new Map<number, Float32Array>();
  features.energy.forEach((energy, band) => {
    const level = levelOf(energy, n);
    addEntries(entry, level, Math.round(ENTRY_SECONDS / curves.hop));
    if (band === BASS || band === MIDDLE) kept.set(band, level);
    else release(level);
  });
  // An entry is as sharp as its onset.
  for (let j = 0; j < n; j++) entry[j] *= Math.max(0, curves.combined[j]);
  return { entry, bassLevel: kept.get(BASS)!, middleLevel: kept.get(MIDDLE)! };
}

/** Adds by how much a level is higher over the next `span` frames than over the last. */
function addEntries(out: Float32Array, level: Float32Array, span: number): void {
  const n = out.length;
  let before = 0;
  let after = 0;
  for (let i = 0; i < span; i++) after += level[i] ?? 0;
  for (let j = 0; j < n; j++) {
    const change = (after - before) / span;
    if (change > ENTRY_DB) out[j] += change;
    before += level[j] - (j >= span ? level[j - span] : 0);
    after += (j + span < n ? level[j + span] : 0) - level[j];
  }
}

/** Difference between the harmony just before and just after each frame. */
function chordChange(harmony: Harmony, curves: OnsetCurves): Float32Array {
  const { bins, frames, data } = harmony;
  const change = new Float32Array(frames + 1);
  for (let f = 2; f < frames; f++) {
    // Two frames apart, since neighbours overlap; only what comes in counts.
    let sum = 0;
    for (let k = 0; k < bins; k++) {
      const d = data[f * bins + k] - data[(f - 2) * bins + k];
      if (d > 0) sum += d;
    }
    change[f - 1] = sum;
  }
  return atCurveFrames(change, harmony, 0, curves);
}

/** Difference between the mean harmony of HARMONY_SIDE frames before and after, over semitones `from` to `to`. */
function harmonyChange(harmony: Harmony, from: number, to: number, curves: OnsetCurves): Float32Array {
  const { bins, frames, data } = harmony;
  const change = new Float32Array(frames + 1);
  // sums[k] is the after side less the before side; each step a frame enters, one changes sides and one leaves.
  const sums = new Float64Array(to - from);
  for (let f = 0; f < frames; f++) {
    const enters = f * bins + from;
    const crosses = enters - HARMONY_SIDE * bins;
    const leaves = crosses - HARMONY_SIDE * bins;
    let total = 0;
    for (let k = 0; k < sums.length; k++) {
      let moved = data[enters + k];
      if (crosses >= 0) moved -= 2 * data[crosses + k];
      if (leaves >= 0) moved += data[leaves + k];
      sums[k] += moved;
      total += Math.abs(sums[k]);
    }
    // The sides meet before frame `at`; where there is not all of the before side they would compare with nothing.
    const at = f - HARMONY_SIDE + 1;
    if (at >= HARMONY_SIDE) change[at] = total / HARMONY_SIDE;
  }
  return atCurveFrames(change, harmony, -0.5, curves);
}

/** Values at harmony frames (plus `late` frames) read at the curves' frames. */
function atCurveFrames(
  values: Float32Array,
  harmony: Harmony,
  late: number,
  curves: OnsetCurves,
): Float32Array {
  const out = new Float32Array(curves.frames);
  for (let j = 0; j < out.length; j++) {
    const x = (curves.offset + j * curves.hop - harmony.offset) / harmony.hop - late;
    const i = Math.floor(x);
    if (i >= 0 && i + 1 < harmony.frames) out[j] = values[i] + (x - i) * (values[i + 1] - values[i]);
  }
  return out;
}
