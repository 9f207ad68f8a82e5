/** The stretches before and after a place that a change is judged on. The grid only says how long eight bars are. */
import type { TrackAnalysis } from '../analysis.ts';
import { beatAtTime, mainTempo, timeOfBeat } from '../grid/grid.ts';

/** Bars on each side. */
export const WINDOW_BARS = 8;
/** Seconds on each side of a track without a grid: about eight bars at 128 bpm. */
export const WINDOW_SECONDS = 15;
/** Less than this on one side is too little to compare, s (without a grid; else one bar). */
export const LEAST_SECONDS = 2;

/** A side that lacks no more than this part of a bar has that bar. */
const BAR_SLACK = 1e-3;

export interface Windows {
  /** s */
  start: number;
  time: number;
  end: number;
  /** Bars on each side, whole, 1 to WINDOW_BARS: fewer near the ends. null without a grid. */
  bars: number | null;
}

/**
 * Both sides equally long, so that one loud bar near an end does not outweigh eight.
 * @returns null where too little of the track lies on one side
 */
export function windowsAt(
  { grid, duration }: Pick<TrackAnalysis, 'grid' | 'duration'>,
  time: number,
): Windows | null {
  if (!grid.segments.length) {
    const side = Math.min(WINDOW_SECONDS, time, duration - time);
    return side < LEAST_SECONDS ? null : { start: time - side, time, end: time + side, bars: null };
  }
  const beat = beatAtTime(grid, time);
  const beats = Math.min(beat - beatAtTime(grid, 0), beatAtTime(grid, duration) - beat);
  const bars = Math.min(WINDOW_BARS, Math.floor(beats / grid.beatsPerBar + BAR_SLACK));
  if (bars < 1) return null;
  const side = bars * grid.beatsPerBar;
  return {
    start: Math.max(0, timeOfBeat(grid, beat - side)),
    time,
    end: Math.min(duration, timeOfBeat(grid, beat + side)),
    bars,
  };
}

/** Length of both sides together in the middle of a track, s, at the tempo that holds for most of it. */
export function fullWindows({ grid }: Pick<TrackAnalysis, 'grid'>): number {
  const bpm = mainTempo(grid);
  return 2 * (bpm ? (WINDOW_BARS * grid.beatsPerBar * 60) / bpm : WINDOW_SECONDS);
}
