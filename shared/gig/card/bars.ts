/** Bars of a track as a person counts them. */
import { beatAtTime, type BeatGrid, isDownbeat, timeOfBeat } from '../../grid/grid.ts';

/** A time that is given on a beat may come out a little before it, in beats. */
const SLACK = 1e-3;

export interface BarBeat {
  /** From 1: the first whole bar of the track. What lies before it is bar 0 and below. */
  bar: number;
  /** 1..beatsPerBar */
  beat: number;
}

/** Bar and beat that `time` is in, or null without a grid. */
export function barAt(grid: BeatGrid, time: number): BarBeat | null {
  if (!grid.segments.length) return null;
  const first = firstDownbeat(grid);
  const beats = Math.floor(beatAtTime(grid, time) - first + SLACK);
  const bar = Math.floor(beats / grid.beatsPerBar);
  return { bar: bar + 1, beat: beats - bar * grid.beatsPerBar + 1 };
}

/** Number of the first downbeat that is not before the track. */
function firstDownbeat(grid: BeatGrid): number {
  let beat = Math.ceil(beatAtTime(grid, 0) - SLACK);
  while (!isDownbeat(grid, beat) || timeOfBeat(grid, beat) < -SLACK) beat++;
  return beat;
}
