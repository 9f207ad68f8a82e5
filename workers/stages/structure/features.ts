/** What is measured of each cell: level and pulse of the three bands, and its pitch classes. */
import { BANDS } from '../../../shared/bands.ts';
import type { Pyramid, PyramidLevel } from '../../../shared/pyramid.ts';
import { PITCH_CLASSES, pitchClasses } from '../key/chroma.ts';
import type { HarmonyFeatures } from '../key/harmony.ts';
import { cellTime, type Cells } from './cells.ts';

export interface CellFeatures {
  count: number;
  /** level[band][cell], dB, not below the floor of its band. */
  level: Float64Array[];
  /** pulse[band][cell]: 0 = no attacks, 1 = as much attack per second as in the track's liveliest bars. */
  pulse: Float64Array[];
  /** Level of the whole signal per cell, dB. */
  loudness: Float64Array;
  /** chroma[cell]: 12 weights. */
  chroma: Float64Array[];
  /** 0..1 per cell: how much of what is heard are notes. */
  tonal: Float64Array;
}

/** The hop that attacks are looked for at is the one nearest to this, s. */
const PULSE_HOP = 0.02;
/** dB below a band's loud cells at which it counts as absent. */
const BAND_DEPTH_DB = 40;
/** dB below the loudest band at which a band counts as absent altogether. */
const TRACK_DEPTH_DB = 60;
/** Share of the cells that are less loud (or lively) than the reference. */
const LOUD_QUANTILE = 0.9;
/** Attacks per second (1 = from nothing to the level of the band's loud cells) below which nothing pulses. */
const LEAST_PULSE = 0.5;
/** A rise smaller than this in one hop is ripple, dB. */
const RIPPLE_DB = 3;
const BASS_WEIGHT = 1;

export function cellFeatures(pyramid: Pyramid, harmony: HarmonyFeatures, cells: Cells): CellFeatures {
  const count = cells.starts.length;
  const fine = pyramid.levels[0];
  const coarse = pyramid.levels.findLast((l) => l.hop <= PULSE_HOP * 1.5) ?? fine;
  const level = BANDS.map((_, layer) => levels(fine, layer, cells));
  const loud = level.map((values) => quantile(values, LOUD_QUANTILE));
  const lowest = Math.max(...loud) - TRACK_DEPTH_DB;
  const floors = loud.map((db) => Math.max(db - BAND_DEPTH_DB, lowest));
  level.forEach((values, band) => values.forEach((v, i) => (values[i] = Math.max(v, floors[band]))));
  const chroma: Float64Array[] = [];
  const tonal = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const from = Math.round(cellTime(cells, i) / harmony.hop);
    const to = Math.max(from + 1, Math.round(cellTime(cells, i + 1) / harmony.hop));
    chroma.push(pitchClasses(harmony, from, to, BASS_WEIGHT));
    for (let f = from; f < Math.min(to, harmony.length); f++) tonal[i] += harmony.tonal[f] / (to - from);
  }
  return {
    count,
    level,
    pulse: BANDS.map((_, layer) => pulses(coarse, layer, cells, Math.max(loud[layer], lowest))),
    loudness: levels(fine, BANDS.length, cells),
    chroma,
    tonal,
  };
}

/** Mean level of each cell, dB. */
function levels(fine: PyramidLevel, layer: number, cells: Cells): Float64Array {
  const rms = fine.rms[layer];
  return Float64Array.from(cells.starts, (start, i) => {
    const [from, to] = columns(fine, start, cellTime(cells, i + 1));
    let power = 0;
    for (let c = from; c < to; c++) power += rms[c] * rms[c];
    return 10 * Math.log10(power / (to - from) + 1e-12);
  });
}

/** Sum of the rises in amplitude per second, against the liveliest cells. */
function pulses(coarse: PyramidLevel, layer: number, cells: Cells, loudDb: number): Float64Array {
  const rms = coarse.rms[layer];
  const loud = 10 ** (loudDb / 20);
  const ripple = 10 ** (RIPPLE_DB / 20);
  const rises = Float64Array.from(cells.starts, (start, i) => {
    const [from, to] = columns(coarse, start, cellTime(cells, i + 1));
    let sum = 0;
    for (let c = Math.max(from, 1); c < to; c++) {
      if (rms[c] > ripple * rms[c - 1]) sum += rms[c] - rms[c - 1];
    }
    return sum / (loud * (to - from) * coarse.hop);
  });
  const reference = Math.max(quantile(rises, LOUD_QUANTILE), LEAST_PULSE);
  return rises.map((r) => r / reference);
}

function columns(level: PyramidLevel, start: number, end: number): [number, number] {
  const from = Math.min(level.length - 1, Math.max(0, Math.round(start / level.hop)));
  return [from, Math.max(from + 1, Math.min(level.length, Math.round(end / level.hop)))];
}

export function quantile(values: ArrayLike<number>, share: number): number {
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
}

/** Mean of `values[from..to)`. */
export function meanOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += values[i];
  return to > from ? sum / (to - from) : 0;
}

/** Sum of the cells' pitch classes over [from, to), at unit length (all 0 without notes). */
export function meanChroma(features: CellFeatures, from: number, to: number): Float64Array {
  const sum = new Float64Array(PITCH_CLASSES);
  for (let i = from; i < to; i++) for (let p = 0; p < PITCH_CLASSES; p++) sum[p] += features.chroma[i][p];
  const length = Math.hypot(...sum);
  return length > 0 ? sum.map((v) => v / length) : sum;
}
