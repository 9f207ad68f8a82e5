/**
 * How sure the grid is. Three things are asked apart: is there a steady beat at all (steadiness), is it this
 * one (decide.ts, a softmax whose shares are brought to what they proved to be worth), and does it hold here (regions).
 */
import type { BeatGrid, GridRegion } from '../../../shared/grid/grid.ts';
import type { Alignment } from './align.ts';

/**
 * Comb score at which a beat is as likely as none, and the score's step for a change of e in the odds.
 * Measured on generated cases: speech, rain, noise, free playing and pads stay under 0.05, drifting drummers
 * begin at 0.18, constant tempi under -12 dB of noise at 0.46.
 */
const MIDDLE_COMB = 0.1;
const COMB_STEP = 0.014;
/** Below this chance of any beat there is no grid. */
export const LEAST_STEADINESS = 0.2;

/** Chance that there is a steady beat, 0..1, from the autocorrelation's comb score. */
export function steadiness(comb: number): number {
  return 1 / (1 + Math.exp(-(comb - MIDDLE_COMB) / COMB_STEP));
}

/**
 * From the log odds of the chosen hypothesis's share to those of its being right: intercept and slope of a logistic
 * regression by tests/bench/grid-fit.ts, on songs of another generator than the weights were fitted on for it.
 */
const SHARE_ODDS = [0.64, 0.82] as const;

/** Chance that the likeliest beat is the right one, 0..1, from its softmax share. */
export function chanceOfRight(share: number): number {
  const [intercept, slope] = SHARE_ODDS;
  return 1 / (1 + Math.exp(-intercept - slope * Math.log(share / (1 - share))));
}

/** Length of a region: eight bars of four. */
const REGION_BEATS = 32;
/** Distance from the grid at which a window contradicts it, s. */
const OFF_SECONDS = 0.02;
/** A distance beyond this says no more, s. */
const FAR_SECONDS = 0.06;
/** Regions this similar are joined. */
const SAME = 0.08;

/** Names of the values of `regionValues`. */
export const REGION_FEATURES = [
  'bias',
  'heard',
  'agreeing',
  'alike',
  'distance',
  'variable',
  'heard × variable',
] as const;

/**
 * Whether a grid that is right elsewhere is right in a region too: logistic regression by tests/bench/region-fit.ts on
 * generated songs, some of them cut, drifting or of changing tempo.
 */
const REGION_WEIGHTS: readonly number[] = [2.549, -3.738, -0.3235, 4.886, -17.15, -1.266, 1.525];

/** A stretch before neighbours that are alike are joined, with what is measured there. */
export interface Stretch {
  startTime: number;
  endTime: number;
  values: number[];
}

/**
 * Stretches of eight bars and, for each of REGION_FEATURES, what is measured there: how much is heard (onset strength
 * against the track's), the share of it that lies on the grid, how alike its rhythm is to the track's, and how far off
 * the grid it lies.
 * @param period s per beat of the pulse that the alignments are against
 */
export function stretchesOf(
  kind: BeatGrid['kind'],
  endTime: number,
  alignments: Alignment[],
  period: number,
): Stretch[] {
  const count = Math.max(1, Math.round(endTime / (REGION_BEATS * period)));
  const edge = (i: number) => (i * endTime) / count;
  return Array.from({ length: count }, (_, i) => {
    const here = alignments.filter((a) => a.time >= edge(i) && a.time < edge(i + 1));
    return { startTime: edge(i), endTime: edge(i + 1), values: valuesOf(here, period, kind === 'variable') };
  });
}

function valuesOf(here: Alignment[], period: number, variable: boolean): number[] {
  const mean = (of: (a: Alignment) => number) =>
    here.reduce((sum, a) => sum + Math.min(1, a.strength) * of(a), 0) / Math.max(1, here.length);
  const heard = mean(() => 1);
  return [
    1,
    heard,
    mean((a) => Number(Math.abs(a.shift * period) < OFF_SECONDS)),
    mean((a) => a.likeness),
    mean((a) => Math.min(FAR_SECONDS, Math.abs(a.shift * period)) / FAR_SECONDS),
    Number(variable),
    variable ? heard : 0,
  ];
}

/**
 * The confidence over stretches of eight bars, those that are alike joined.
 * @param whole chance that the grid is right where it holds, 0..1
 */
export function regionsOf(stretches: Stretch[], whole: number): GridRegion[] {
  const out: GridRegion[] = [];
  for (const { startTime, endTime, values } of stretches) {
    const logit = values.reduce((sum, value, i) => sum + REGION_WEIGHTS[i] * value, 0);
    const confidence = whole / (1 + Math.exp(-logit));
    const last = out[out.length - 1];
    if (last && Math.abs(last.confidence - confidence) < SAME) last.endTime = endTime;
    else out.push({ startTime, endTime, confidence });
  }
  return out;
}
