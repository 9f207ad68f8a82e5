/** Bars of a track on the card: counted as everywhere else. */
import { barAndBeat, beatAtTime, type BeatGrid } from '../../grid/grid.ts';

/** A time that is given on a beat may come out a little before it, in beats. */
const SLACK = 1e-3;

/** From 1, as `barAndBeat` has them: the bar of beat 0 is bar 1, whole or not. */
export type BarBeat = ReturnType<typeof barAndBeat>;

/** Bar and beat that `time` is in, or null without a grid. */
export function barAt(grid: BeatGrid, time: number): BarBeat | null {
  return grid.segments.length ? barAndBeat(grid, Math.floor(beatAtTime(grid, time) + SLACK)) : null;
}
