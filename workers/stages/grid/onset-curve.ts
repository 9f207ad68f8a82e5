/** Onset curves: how much louder each band becomes, about 115 times a second. */
import { AIR, BASS, BODY, MIDDLE, PRESENCE, type GridFeatures } from './features.ts';
import { release } from '../../release.ts';
import { quantile } from './statistics.ts';

/** Fine frames per curve frame. */
const FRAMES_PER_STEP = 3;
/** Levels this far below the band's loud level count as silence, dB. */
const FLOOR_DB = -45;
/** The share of frames that are quieter than the band's loud level. */
const LOUD_QUANTILE = 0.95;
/** 10 log₁₀ x as a multiple of ln x, which is the quicker function. */
const DB_PER_NEPER = 10 / Math.LN10;
/** A larger rise says no more than this one, dB. */
const LARGEST_RISE_DB = 24;
/** Power below which a band is silent (−100 dBFS). */
const SILENT_POWER = 1e-10;
/** The slow trend that is taken off the combined curve, s. */
const TREND_SECONDS = 0.8;

/** What each band weighs in the combined curve: bass up, because syncopated hats pull to the off-beat. */
const BAND_WEIGHTS: Record<number, number> = {
  [BASS]: 1.5,
  [BODY]: 1,
  [MIDDLE]: 1,
  [PRESENCE]: 1,
  [AIR]: 0.7,
};

export interface OnsetCurves {
  /** s between frames */
  hop: number;
  /** s: frame j stands for `offset + j × hop`. */
  offset: number;
  frames: number;
  /** bands[band][frame]: rise in dB, 0..LARGEST_RISE_DB */
  bands: Float32Array[];
  /** Weighted sum of the bands, each scaled to unit RMS, without its slow trend. */
  combined: Float32Array;
}

/** @returns the onset curves of a track; bands that are silent throughout are all 0 */
export function onsetCurves(features: GridFeatures): OnsetCurves {
  const frames = Math.floor(features.frames / FRAMES_PER_STEP);
  const bands = features.energy.map((energy) => riseOf(energy, frames));
  const hop = features.hop * FRAMES_PER_STEP;
  const combined = new Float32Array(frames);
  bands.forEach((band, index) => {
    let power = 0;
    for (let j = 0; j < frames; j++) power += band[j] * band[j];
    if (power === 0) return;
    const gain = BAND_WEIGHTS[index] / Math.sqrt(power / frames);
    for (let j = 0; j < frames; j++) combined[j] += gain * band[j];
  });
  removeTrend(combined, Math.round(TREND_SECONDS / hop));
  return { hop, offset: hop, frames, bands, combined };
}

function riseOf(energy: Float32Array, frames: number): Float32Array {
  const power = new Float32Array(frames);
  for (let j = 0; j < frames; j++) {
    const i = j * FRAMES_PER_STEP;
    power[j] = (energy[i] + energy[i + 1] + energy[i + 2]) / FRAMES_PER_STEP;
  }
  const out = new Float32Array(frames);
  const loud = quantile(power, LOUD_QUANTILE);
  if (!(loud > SILENT_POWER)) return out;
  const floor = Math.max(SILENT_POWER, loud * 10 ** (FLOOR_DB / 10));
  // Two frames are averaged, so that the ripple of a low note does not pass for onsets.
  let last = 0;
  const level = power;
  for (let j = 0; j < frames; j++) {
    const now = power[j];
    level[j] = DB_PER_NEPER * Math.log((now + last) / 2 + floor);
    last = now;
  }
  for (let j = 1; j + 1 < frames; j++) {
    const rise = level[j + 1] - level[j - 1];
    if (rise > 0) out[j] = Math.min(LARGEST_RISE_DB, rise);
  }
  release(power);
  return out;
}

/** Takes the moving mean over `width` frames off a curve. */
export function removeTrend(curve: Float32Array, width: number): void {
  const n = curve.length;
  const half = Math.max(1, width >> 1);
  const copy = curve.slice();
  let sum = 0;
  let count = 0;
  for (let j = 0; j < Math.min(half, n); j++) {
    sum += copy[j];
    count++;
  }
  for (let j = 0; j < n; j++) {
    if (j + half < n) {
      sum += copy[j + half];
      count++;
    }
    if (j - half - 1 >= 0) {
      sum -= copy[j - half - 1];
      count--;
    }
    curve[j] -= sum / count;
  }
  release(copy);
}
