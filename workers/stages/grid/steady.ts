/** One constant tempo over a stretch: exact period and phase, and whether it holds at all. */
import { release } from '../../release.ts';
import { alignWindows, alignmentWeight, type Alignment } from './align.ts';
import type { OnsetCurves } from './onset-curve.ts';
import { steadyPulse } from './pulse.ts';
import { fitLineRobust, weightedMedian } from './statistics.ts';

/** Rounds of aligning and correcting. */
const ROUNDS = 3;
/** Windows of about this length, in whole beats, s. */
const WINDOW_SECONDS = 4;
/** Residual at which a window has lost half of its say, s. */
const SCALE_SECONDS = 0.006;
/** A window within this of the line agrees with it, s. */
const AGREES_SECONDS = 0.015;
/** Likeness from which a window counts as like the rest. */
const ALIKE = 0.35;
/** Corrections smaller than this share end the rounds. */
const SETTLED = 2e-6;

export interface SteadyFit {
  /** s per beat */
  period: number;
  /** A time at which the pulse's phase is 0 (whatever the beat is), s. */
  origin: number;
  alignments: Alignment[];
  /** Weighted share of windows that agree with one line, 0..1. */
  agreement: number;
  /** Share of what sounds (by onset strength) that agrees and is like the rest, 0..1. */
  coverage: number;
  /** Weighted median of the windows' distance from the line, s. */
  scatter: number;
  /** Weighted mean likeness of the windows to the whole, −1..1. */
  likeness: number;
  /** Standard error of the period, as a share of it. */
  periodError: number;
}

export function windowBeats(period: number): number {
  return Math.max(2, Math.round(WINDOW_SECONDS / period));
}

/** Fits one tempo to the curves from `from` to `to` (frames), starting near `period`. */
export function fitSteady(curves: OnsetCurves, period: number, from = 0, to = curves.frames): SteadyFit {
  let origin = curves.offset + from * curves.hop;
  for (let round = 0; round < ROUNDS; round++) {
    const found = alignedTo(curves, origin, period, from, to);
    const line = fitLineRobust(
      found.map((a) => a.time),
      found.map((a) => a.shift * period),
      found.map(alignmentWeight),
      SCALE_SECONDS,
    );
    // Only the slope means anything: the phase is against the stretch's own mean.
    origin += line.slope * (origin - (curves.offset + ((from + to) / 2) * curves.hop));
    period *= 1 + line.slope;
    if (Math.abs(line.slope) < SETTLED) break;
  }
  const alignments = alignedTo(curves, origin, period, from, to);
  return { period, origin, alignments, ...judge(alignments, period) };
}

function alignedTo(
  curves: OnsetCurves,
  origin: number,
  period: number,
  from: number,
  to: number,
): Alignment[] {
  const pulse = steadyPulse(curves, origin, period);
  const found = alignWindows(curves, pulse, windowBeats(period), from, to);
  release(pulse);
  return found;
}

/** How well windows agree with the pulse that they were aligned to. */
export function judge(alignments: Alignment[], period: number) {
  const shifts = alignments.map((a) => a.shift * period);
  const weights = alignments.map(alignmentWeight);
  const middle = weightedMedian(shifts, weights) || 0;
  const distances = shifts.map((s) => Math.abs(s - middle));
  const total = weights.reduce((a, b) => a + b, 0);
  const agreeing = weights.reduce((sum, w, i) => sum + (distances[i] < AGREES_SECONDS ? w : 0), 0);
  const scatter = weightedMedian(distances, weights);
  const strengths = alignments.reduce((sum, a) => sum + Math.min(1, a.strength), 0);
  const likeness = alignments.reduce((sum, a) => sum + a.likeness * Math.min(1, a.strength), 0);
  const covered = alignments.reduce(
    (sum, a, i) => sum + (distances[i] < AGREES_SECONDS && a.likeness > ALIKE ? Math.min(1, a.strength) : 0),
    0,
  );
  return {
    coverage: strengths > 0 ? covered / strengths : 0,
    agreement: total > 0 ? agreeing / total : 0,
    scatter: Number.isNaN(scatter) ? Infinity : scatter,
    likeness: strengths > 0 ? likeness / strengths : 0,
    periodError: periodError(alignments, weights, scatter),
  };
}

function periodError(alignments: Alignment[], weights: number[], scatter: number): number {
  let total = 0;
  let mean = 0;
  alignments.forEach((a, i) => {
    total += weights[i];
    mean += weights[i] * a.time;
  });
  if (!(total > 0)) return Infinity;
  mean /= total;
  const spread = alignments.reduce((sum, a, i) => sum + weights[i] * (a.time - mean) ** 2, 0);
  // 1.48 turns a median distance into a standard deviation of a normal distribution.
  return spread > 0 ? (1.48 * Math.max(scatter, 0.0005)) / Math.sqrt(spread) : Infinity;
}
