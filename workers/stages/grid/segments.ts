/** Beat times to grid segments: a few constant stretches where they fit, else a smooth piecewise line. */
import type { GridSegment } from '../../../shared/grid/grid.ts';
import { smoothed } from './drifting.ts';
import type { OnsetCurves } from './onset-curve.ts';
import { snapTempo } from './snap.ts';
import { fitSteady } from './steady.ts';

/** Deviation of tracked beats from a constant stretch, s. */
const SIGMA_SECONDS = 0.008;
/** What a further stretch costs, in squared deviations. */
const STRETCH_COST = 60;
/** Shortest stretch, beats. */
const SHORTEST_BEATS = 16;
/** More stretches than this are a drift. */
const MOST_STRETCHES = 4;
/** Beats between the anchors of a drift. */
const ANCHOR_BEATS = 4;
/** Half-width of a drift's smoothing, beats. */
const SMOOTH_BEATS = 5;
/** Lengths beyond this are a drift without trying: the search grows with the square. */
const MOST_BEATS = 6000;

/**
 * @param times beat times, s, rising, at least two
 * @returns segments whose beat 0 is times[0]
 */
export function segmentsThrough(times: number[], curves: OnsetCurves): GridSegment[] {
  const cuts = times.length <= MOST_BEATS ? constantStretches(times) : null;
  return cuts ? exactStretches(times, cuts, curves) : anchored(times);
}

/**
 * First beats of the stretches of constant tempo that explain the beats, by optimal partition; null when it
 * takes too many.
 */
export function constantStretches(times: number[]): number[] | null {
  const n = times.length;
  const sum = prefixSums(times);
  const cost = new Float64Array(n + 1).fill(Infinity);
  const from = new Int32Array(n + 1);
  cost[0] = -STRETCH_COST;
  for (let end = Math.min(n, SHORTEST_BEATS); end <= n; end++) {
    for (let start = 0; start <= end - Math.min(n, SHORTEST_BEATS); start++) {
      if (cost[start] === Infinity) continue;
      const c = cost[start] + STRETCH_COST + sum.residual(start, end) / SIGMA_SECONDS ** 2;
      if (c < cost[end]) {
        cost[end] = c;
        from[end] = start;
      }
    }
  }
  const cuts: number[] = [];
  for (let end = n; end > 0; end = from[end]) cuts.unshift(from[end]);
  return cuts.length <= MOST_STRETCHES ? cuts : null;
}

/** Sum of squared distances of times[start..end) from their own straight line, in O(1) each. */
function prefixSums(times: number[]) {
  const n = times.length;
  const y = new Float64Array(n + 1);
  const xy = new Float64Array(n + 1);
  const yy = new Float64Array(n + 1);
  // Taking a common line off first keeps the sums small and the differences exact.
  const slope = (times[n - 1] - times[0]) / Math.max(1, n - 1);
  for (let i = 0; i < n; i++) {
    const v = times[i] - times[0] - slope * i;
    y[i + 1] = y[i] + v;
    xy[i + 1] = xy[i] + i * v;
    yy[i + 1] = yy[i] + v * v;
  }
  return {
    residual(start: number, end: number): number {
      const m = end - start;
      const sx = ((start + end - 1) * m) / 2;
      const sxx = (m * (m * m - 1)) / 12;
      const sy = y[end] - y[start];
      const sxy = xy[end] - xy[start] - (sx * sy) / m;
      const syy = yy[end] - yy[start] - (sy * sy) / m;
      return Math.max(0, syy - (sxx > 0 ? (sxy * sxy) / sxx : 0));
    },
  };
}

function exactStretches(times: number[], cuts: number[], curves: OnsetCurves): GridSegment[] {
  const lines = cuts.map((start, i) => {
    const end = cuts[i + 1] ?? times.length;
    const frame = (beat: number) =>
      Math.max(0, Math.min(curves.frames, Math.round((times[beat] - curves.offset) / curves.hop)));
    const rough = (times[end - 1] - times[start]) / (end - 1 - start);
    // Two beats at each cut may belong to either side.
    const fit = fitSteady(
      curves,
      rough,
      frame(Math.min(end - 1, start + 2)),
      frame(Math.max(start, end - 3)),
    );
    const seconds = times[end - 1] - times[start];
    const bpm = snapTempo(60 / fit.period, fit.periodError, seconds);
    // The line passes through the stretch's own mean beat.
    let mean = 0;
    for (let k = start; k < end; k++)
      mean += (times[k] - ((k - (start + end - 1) / 2) * 60) / bpm) / (end - start);
    return { middle: (start + end - 1) / 2, time: mean, bpm };
  });
  const at = (line: (typeof lines)[number], beat: number) =>
    line.time + ((beat - line.middle) * 60) / line.bpm;
  return lines.map((line, i) => {
    if (i === 0) return { startBeat: 0, startTime: at(line, 0), bpm: line.bpm };
    // The tempo changes at the beat where the two lines come closest.
    let best = cuts[i];
    for (let beat = cuts[i] - 4; beat <= cuts[i] + 4; beat++) {
      if (
        Math.abs(at(lines[i - 1], beat) - at(line, beat)) < Math.abs(at(lines[i - 1], best) - at(line, best))
      )
        best = beat;
    }
    return { startBeat: best, startTime: at(line, best), bpm: line.bpm };
  });
}

function anchored(times: number[]): GridSegment[] {
  const smooth = smoothed(times, new Float64Array(times.length).fill(1), SMOOTH_BEATS);
  const out: GridSegment[] = [];
  for (let beat = 0; beat < smooth.length; beat += ANCHOR_BEATS) {
    const next = Math.min(smooth.length - 1, beat + ANCHOR_BEATS);
    if (next === beat) break;
    out.push({
      startBeat: beat,
      startTime: smooth[beat],
      bpm: (60 * (next - beat)) / (smooth[next] - smooth[beat]),
    });
  }
  return out;
}
