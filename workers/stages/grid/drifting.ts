/** A pulse for a track whose tempo is not constant: tracked beats, smoothed and corrected window by window. */
import { alignWindows, alignmentWeight, type Alignment } from './align.ts';
import type { OnsetCurves } from './onset-curve.ts';
import { pulseThrough, type Pulse } from './pulse.ts';
import { fitLine } from './statistics.ts';
import { judge } from './steady.ts';
import { tempoPath } from './tempo-path.ts';
import { trackBeats } from './track-beats.ts';

/** Half-width of the smoothing of tracked beats, beats. */
const SMOOTH_BEATS = 6;
/** Windows of the correcting rounds, beats. */
const WINDOW_BEATS = 4;
const ROUNDS = 2;
/** Intervals on each side whose median is the tempo around. */
const SLIP_AROUND = 24;
/** An interval this far off the tempo around it is suspect, as a share. */
const SLIP_EXCESS = 0.015;
/** What a slip adds up to, beats. */
const SLIP_LEAST = 0.3;
const SLIP_MOST = 0.7;
/** Fewest beats that can be called a pulse. */
const FEWEST_BEATS = 8;

export interface DriftingFit {
  /** s of each tracked beat (a pulse of some simple ratio to the music's beat). */
  beats: Float64Array;
  pulse: Pulse;
  alignments: Alignment[];
  agreement: number;
  coverage: number;
  scatter: number;
  likeness: number;
}

/**
 * @param period main beat period of the track, s
 * @returns null when the track is too short to follow
 */
export function fitDrifting(curves: OnsetCurves, period: number): DriftingFit | null {
  const tracked = trackBeats(curves, tempoPath(curves, period));
  if (tracked.length < FEWEST_BEATS) return null;
  const plain = smoothed(tracked, new Float64Array(tracked.length).fill(1), SMOOTH_BEATS);
  const straightened = withoutSlips(plain);
  const fit = settled(curves, plain);
  if (straightened.every((t, i) => t === plain[i])) return fit;
  // What looks like a slip may be a quick swing of the tempo: the music decides.
  const other = settled(curves, straightened);
  return other.coverage * other.likeness > fit.coverage * fit.likeness ? other : fit;
}

/** Corrects beats against their own folded onsets, window by window. */
function settled(curves: OnsetCurves, start: Float64Array): DriftingFit {
  let beats = start;
  for (let round = 0; round < ROUNDS; round++) {
    const found = alignWindows(curves, pulseThrough(curves, beats), WINDOW_BEATS);
    beats = smoothed(corrected(beats, found), new Float64Array(beats.length).fill(1), SMOOTH_BEATS / 2);
  }
  const pulse = pulseThrough(curves, beats);
  const alignments = alignWindows(curves, pulse, WINDOW_BEATS);
  const mean = (beats[beats.length - 1] - beats[0]) / (beats.length - 1);
  return { beats, pulse, alignments, ...judge(alignments, mean) };
}

/**
 * Undoes slips: where the drums pause the tracker may pass to the off-beat and back, at a tempo that no player
 * takes. A run of intervals off the tempo around it that adds up to about half a beat is taken out, and what
 * follows moves by that half.
 */
export function withoutSlips(times: Float64Array): Float64Array {
  const intervals = times.slice(1).map((t, i) => t - times[i]);
  const excess = intervals.map((interval, i) => {
    const around = intervals.slice(Math.max(0, i - SLIP_AROUND), i + SLIP_AROUND + 1).sort();
    return interval / around[around.length >> 1] - 1;
  });
  const out = times.slice();
  let moved = 0;
  for (let i = 0; i < excess.length;) {
    let end = i;
    let sum = 0;
    while (
      end < excess.length &&
      Math.abs(excess[end]) > SLIP_EXCESS &&
      Math.sign(excess[end]) === Math.sign(excess[i])
    ) {
      sum += excess[end++];
    }
    const slipped = Math.abs(sum) > SLIP_LEAST && Math.abs(sum) < SLIP_MOST;
    const length = Math.max(1, end - i);
    for (let k = 1; k <= length && i + k < out.length; k++) {
      const interval = intervals[i + k - 1];
      out[i + k] = times[i + k] - (moved + (slipped ? (sum * k) / length : 0)) * interval;
    }
    if (slipped) moved += sum;
    i += length;
  }
  return out;
}

/** Moves beats by the shift of the windows around them, clear windows more. */
function corrected(beats: Float64Array, windows: Alignment[]): Float64Array {
  return beats.map((time, n) => {
    const interval = n + 1 < beats.length ? beats[n + 1] - time : time - beats[n - 1];
    let sum = 0;
    let weight = 0.05;
    for (const a of windows) {
      const near = 1 - Math.abs(a.beat - n) / (1.5 * WINDOW_BEATS);
      if (near <= 0) continue;
      const w = near * alignmentWeight(a);
      sum += w * a.shift;
      weight += w;
    }
    return time + (sum / weight) * interval;
  });
}

/** Local straight-line fit of beat times over ±`half` beats (tricube weights). */
export function smoothed(times: ArrayLike<number>, weight: ArrayLike<number>, half: number): Float64Array {
  const n = times.length;
  const span = Math.ceil(half);
  return Float64Array.from({ length: n }, (_, i) => {
    const x: number[] = [];
    const y: number[] = [];
    const w: number[] = [];
    for (let k = Math.max(0, i - span); k <= Math.min(n - 1, i + span); k++) {
      x.push(k - i);
      y.push(times[k]);
      w.push(weight[k] * (1 - (Math.abs(k - i) / (half + 1)) ** 3) ** 3);
    }
    return fitLine(x, y, w).intercept;
  });
}
