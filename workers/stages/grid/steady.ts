/** One constant tempo over a stretch: exact period and phase, and whether it holds at all. */
import { alignWindows, alignmentWeight, type Alignment } from './align.ts';
import { fold } from './fold.ts';
import type { OnsetCurves } from './onset-curve.ts';
import { fitLineRobust, weightedMedian } from './statistics.ts';

/** Rounds of aligning and correcting. */
const ROUNDS = 3;
/** Residual at which a window has lost half of its say, s. */
const SCALE_SECONDS = 0.006;
/** A window within this of the line agrees with it, s. */
const AGREES_SECONDS = 0.015;

export interface SteadyFit {
  /** s per beat */
  period: number;
  /** Time of the folded curve's strongest point (not yet the beat), s. */
  origin: number;
  alignments: Alignment[];
  /** Weighted share of windows that agree with one line, 0..1. */
  agreement: number;
  /** Weighted median of the windows' distance from the line, s. */
  scatter: number;
  /** Standard error of the period, as a share of it. */
  periodError: number;
}

/** Fits one tempo to the curves from `from` to `to` (frames), starting near `period`. */
export function fitSteady(curves: OnsetCurves, period: number, from = 0, to = curves.frames): SteadyFit {
  let origin = curves.offset + from * curves.hop;
  let alignments: Alignment[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    alignments = alignWindows(curves, origin, period, from, to);
    const x = alignments.map((a) => a.time);
    const y = alignments.map((a) => a.shift);
    const w = alignments.map(alignmentWeight);
    const line = fitLineRobust(x, y, w, SCALE_SECONDS);
    // Shifts are against `origin`: the beat at time t sits at t + intercept + slope × t.
    origin += line.intercept + line.slope * origin;
    period *= 1 + line.slope;
    if (Math.abs(line.slope) < 1e-7) break;
  }
  alignments = alignWindows(curves, origin, period, from, to);
  const shifts = alignments.map((a) => a.shift);
  const weights = alignments.map(alignmentWeight);
  const centre = weightedMedian(shifts, weights) || 0;
  const distances = shifts.map((s) => Math.abs(s - centre));
  const total = weights.reduce((a, b) => a + b, 0);
  const agreeing = weights.reduce((sum, w, i) => sum + (distances[i] < AGREES_SECONDS ? w : 0), 0);
  const scatter = weightedMedian(distances, weights);
  return {
    period,
    origin: origin + strongestPhase(curves, origin, period, from, to) + centre,
    alignments,
    agreement: total > 0 ? agreeing / total : 0,
    scatter: Number.isNaN(scatter) ? Infinity : scatter,
    periodError: periodError(alignments, weights, scatter),
  };
}

/** Offset of the strongest point of the folded combined curve, s. */
function strongestPhase(
  curves: OnsetCurves,
  origin: number,
  period: number,
  from: number,
  to: number,
): number {
  const bins = 64;
  const folded = fold(curves.combined, curves, origin, period, bins, from, to);
  let best = 0;
  for (let i = 1; i < bins; i++) if (folded[i] > folded[best]) best = i;
  return (best / bins) * period;
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
