/** Curves that speak for a beat: band onsets, drum-like coincidences, entries of parts, chord changes. */
import { BASS, type GridFeatures, type Harmony } from './features.ts';
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
  /** How much the chord changes. */
  chord: Float32Array;
  /** Level of the bass, dB above its floor. */
  bassLevel: Float32Array;
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
  'chord',
  'bassLevel',
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
/** 10 log₁₀ x as a multiple of ln x, which is the quicker function. */
const DB_PER_NEPER = 10 / Math.LN10;

export function cuesOf(features: GridFeatures, curves: OnsetCurves): Cues {
  const n = curves.frames;
  const bands = features.energy.map((energy) => strengthRise(energy, n));
  const [bass, body, middle, presence, air] = bands;
  const kick = new Float32Array(n);
  const snare = new Float32Array(n);
  const wideBass = widened(bass);
  const wideBody = widened(body);
  const wideMiddle = widened(middle);
  const widePresence = widened(presence);
  for (let j = 0; j < n; j++) {
    kick[j] = Math.sqrt(wideBass[j] * (0.5 * wideBody[j] + 0.5 * widePresence[j]));
    snare[j] = Math.sqrt(wideMiddle[j] * widePresence[j]) / (1 + wideBass[j] / BASS_EXCUSE);
  }
  const levels = features.energy.map((energy) => levelOf(energy, n));
  return {
    bass,
    body,
    middle,
    presence,
    air,
    kick,
    snare,
    entry: entries(levels, curves),
    chord: chordChange(features.harmony, curves),
    bassLevel: levels[BASS],
  };
}

/**
 * Rise of a band's strength over two frames, 1 about the band's loud level. Strength is the fourth root of
 * power: decibels would make a hat as large as a snare, and power would leave nothing but the kick.
 */
function strengthRise(energy: Float32Array, frames: number): Float32Array {
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
  const out = new Float32Array(frames);
  for (let j = 1; j + 1 < frames; j++) out[j] = Math.max(0, strength[j + 1] - strength[j - 1]);
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

function entries(levels: Float32Array[], curves: OnsetCurves): Float32Array {
  const n = curves.frames;
  const span = Math.round(ENTRY_SECONDS / curves.hop);
  const out = new Float32Array(n);
  for (const level of levels) {
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
  // An entry is as sharp as its onset.
  for (let j = 0; j < n; j++) out[j] *= Math.max(0, curves.combined[j]);
  return out;
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
  const out = new Float32Array(curves.frames);
  for (let j = 0; j < out.length; j++) {
    const x = (curves.offset + j * curves.hop - harmony.offset) / harmony.hop;
    const i = Math.floor(x);
    if (i >= 0 && i + 1 < frames) out[j] = change[i] + (x - i) * (change[i + 1] - change[i]);
  }
  return out;
}
