/** Where a boundary set by hand goes: on the start of a bar, on that of a phrase where one is near. */
import { PHRASE_BARS } from '../grid/edit-model.ts';
import { beatAtTime, type BeatGrid, timeOfBeat } from '../grid/grid.ts';

/** A phrase start at most this many bars away is meant rather than the nearest bar. */
export const PHRASE_REACH_BARS = 0.5;

/**
 * @returns the time of the nearest downbeat, or of the nearest phrase start within PHRASE_REACH_BARS; `time`
 *   itself without a grid. Never before the track or after its end.
 */
export function snapToBar(grid: BeatGrid, time: number): number {
  if (!grid.segments.length) return inside(grid, time);
  const { beatsPerBar, firstBeatInBar, phraseOffsetBars } = grid;
  const bars = (beatAtTime(grid, time) + firstBeatInBar) / beatsPerBar;
  const timeOfBar = (bar: number) => timeOfBeat(grid, bar * beatsPerBar - firstBeatInBar);
  if (phraseOffsetBars !== null) {
    const phrase = Math.round((bars - phraseOffsetBars) / PHRASE_BARS) * PHRASE_BARS + phraseOffsetBars;
    if (Math.abs(bars - phrase) <= PHRASE_REACH_BARS) return inside(grid, timeOfBar(phrase));
  }
  return inside(grid, timeOfBar(Math.round(bars)));
}

function inside(grid: BeatGrid, time: number): number {
  return Math.min(Math.max(0, time), grid.endTime);
}
