/** The tempo at each moment of a track that drifts or changes, by the best path through local tempi. */
import { combScore, WINDOW_FRAMES, WindowCorrelator } from './autocorrelation.ts';
import type { OnsetCurves } from './onset-curve.ts';

/** Frames between windows (2.2 s). */
const HOP = 256;
/** Step between tempi, as a share. */
const STEP = 0.01;
/** What an octave's jump between windows costs, in comb score. */
const JUMP_COST = 6;
/**
 * How far the path may leave the track's main tempo, as a share: less than a fourth, so that it cannot slip
 * to three beats for four or four for three.
 */
const REACH = 0.22;

/**
 * @param period main beat period of the track, s
 * @returns beat period in frames at each frame of the curves
 */
export function tempoPath(curves: OnsetCurves, period: number): Float64Array {
  const side = Math.ceil(Math.log(1 + REACH) / STEP);
  const lags = Array.from(
    { length: 2 * side + 1 },
    (_, i) => (period / curves.hop) * Math.exp((i - side) * STEP),
  );
  const windows = Math.max(1, Math.ceil(curves.frames / HOP));
  const correlator = new WindowCorrelator();
  const back: Int16Array[] = [];
  let score = new Float64Array(lags.length);
  const perStep = (JUMP_COST * STEP) / Math.LN2;
  for (let w = 0; w < windows; w++) {
    const correlation = new Float64Array(WINDOW_FRAMES);
    correlator.addTo(correlation, curves.combined, w * HOP - (WINDOW_FRAMES >> 1));
    const top = correlation[0] || 1;
    const local = lags.map((lag) => combScore(correlation, lag) / top);
    const { reached, from } = spread(score, perStep);
    score = reached.map((x, i) => x + local[i]);
    back.push(from);
  }
  let at = score.indexOf(Math.max(...score));
  const path = new Array<number>(windows);
  for (let w = windows - 1; w >= 0; w--) {
    path[w] = lags[at];
    at = back[w][at];
  }
  return Float64Array.from({ length: curves.frames }, (_, j) => {
    const x = Math.min(windows - 1, j / HOP);
    const i = Math.min(windows - 1, Math.floor(x));
    const next = Math.min(windows - 1, i + 1);
    return path[i] + (x - i) * (path[next] - path[i]);
  });
}

/** Best predecessor of each state when a move costs `perStep` for each state passed. */
function spread(score: Float64Array, perStep: number): { reached: Float64Array; from: Int16Array } {
  const n = score.length;
  const reached = score.slice();
  const from = Int16Array.from({ length: n }, (_, i) => i);
  for (let i = 1; i < n; i++) {
    if (reached[i - 1] - perStep > reached[i]) {
      reached[i] = reached[i - 1] - perStep;
      from[i] = from[i - 1];
    }
  }
  for (let i = n - 2; i >= 0; i--) {
    if (reached[i + 1] - perStep > reached[i]) {
      reached[i] = reached[i + 1] - perStep;
      from[i] = from[i + 1];
    }
  }
  return { reached, from };
}
