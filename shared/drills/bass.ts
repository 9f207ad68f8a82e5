/** Where a track has its bass, and where its kick first comes in: from the bass levels at the grid's beats. */
import { BANDS } from '../bands.ts';
import { beatsBetween } from '../grid/grid.ts';
import { readPyramid } from '../pyramid.ts';
import { barTimes, levelDb } from './structure.ts';
import type { DrillTrack } from './types.ts';

const BASS = BANDS.indexOf('bass');
/** The bars that count as those with full bass: this quantile of all. Estimate, as in the naming of sections. */
const FULL_QUANTILE = 0.85;
/** Bass within this of the full one is in, and at least that far under it is out; between them nobody is asked, dB. */
export const IN_WITHIN_DB = 4;
export const OUT_FROM_DB = 12;

/** Bass of one bar. */
export interface BarBass {
  startTime: number;
  endTime: number;
  state: 'in' | 'out' | 'between';
}

type Analysis = DrillTrack['analysis'];
const bars = new WeakMap<Analysis, BarBass[]>();
const kicks = new WeakMap<Analysis, number | null>();

/** The bass of every whole bar; worked out once per analysis. */
export function bassByBar(track: DrillTrack): BarBass[] {
  let known = bars.get(track.analysis);
  if (!known) bars.set(track.analysis, (known = measureBars(track)));
  return known;
}

function measureBars(track: DrillTrack): BarBass[] {
  const starts = barTimes(track);
  const levels = starts.slice(0, -1).map((start, i) => levelDb(track, start, starts[i + 1], BASS));
  if (!levels.length) return [];
  const full = quantile(levels, FULL_QUANTILE);
  return levels.map((level, i) => ({
    startTime: starts[i],
    endTime: starts[i + 1],
    state: full - level <= IN_WITHIN_DB ? 'in' : full - level >= OUT_FROM_DB ? 'out' : 'between',
  }));
}

/** Around a beat, s: where a kick's first swing is looked for, and the rest before it. Estimates. */
const HIT_BEFORE = 0.015;
const HIT_AFTER = 0.06;
const REST_FROM = 0.09;
const REST_TO = 0.02;
/** Columns that either is read in, so that nothing is read far past its edges. */
const WINDOW_COLUMNS = 6;
/**
 * A beat has a kick when the bass rises there by this part of the track's loudest beats: a bass note that goes on under
 * the kick hides some of its rise. Estimate.
 */
const KICK_RISE = 0.25;
const LOUDEST_QUANTILE = 0.95;
/** Beats from the first kick on of which a part must have one (broken beats have few), and beats before of which none may. */
const BEATS_AFTER = 16;
const SHARE_AFTER = 1 / 4;
const BEATS_BEFORE = 8;

/** Time of the first kick of a beat that goes on, s; null when there is none or the track starts with it. */
export function firstKick(track: DrillTrack): number | null {
  let known = kicks.get(track.analysis);
  if (known === undefined) kicks.set(track.analysis, (known = findKick(track)));
  return known;
}

function findKick({ analysis: { grid, pyramid, duration } }: DrillTrack): number | null {
  const beats = beatsBetween(grid, 0, duration);
  const peak = (from: number, to: number) =>
    Math.max(...readPyramid(pyramid, from, (to - from) / WINDOW_COLUMNS, WINDOW_COLUMNS).peak[BASS]);
  if (beats.length <= BEATS_BEFORE + BEATS_AFTER) return null;
  const peaks = beats.map(({ time }) => peak(time - HIT_BEFORE, time + HIT_AFTER));
  const rises = beats.map(({ time }, i) => peaks[i] - peak(time - REST_FROM, time - REST_TO));
  const least = KICK_RISE * quantile(peaks, LOUDEST_QUANTILE);
  if (!(least > 0)) return null;
  const hits = rises.map((rise) => rise >= least);
  for (let i = 0; i + BEATS_AFTER <= hits.length; i++) {
    if (!hits[i]) continue;
    if (hits.slice(i, i + BEATS_AFTER).filter(Boolean).length < SHARE_AFTER * BEATS_AFTER) continue;
    // The first place where a beat begins is the answer, or there is none: a doubtful one is not asked about.
    return i >= BEATS_BEFORE && !hits.slice(i - BEATS_BEFORE, i).some(Boolean) ? beats[i].time : null;
  }
  return null;
}

function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}
