/** The grid as a deck with quantise sees it: the nearest step, the next step, and how far a move is off the beat. */
import { type BeatGrid, beatAtTime, timeOfBeat } from '../grid/grid.ts';
import type { OutOfTime } from './effect.ts';
import { activeLoop, fold, positionAt, rateOf } from './movement.ts';
import { ON_STEP } from './practice.ts';
import type { DeckState } from './state.ts';

/** The grid that the deck can count on, or null. */
export function gridOf({ track }: DeckState): BeatGrid | null {
  return track && track.grid.segments.length > 0 ? track.grid : null;
}

/** True when quantise is on and there is a grid for it. */
export function quantised(state: DeckState): boolean {
  return state.quantise.on && state.quantise.step > 0 && gridOf(state) !== null;
}

/** Time of the nearest step inside the track to `position`, s; `position` itself where quantise is not in force. */
export function nearestStep(state: DeckState, position: number): number {
  const grid = gridOf(state);
  if (!grid || !quantised(state)) return position;
  const { step } = state.quantise;
  const nearest = Math.round(beatAtTime(grid, position) / step);
  const duration = state.track?.duration ?? 0;
  const inside = [nearest, nearest + 1, nearest - 1].find((n) => {
    const time = timeOfBeat(grid, n * step);
    return time >= 0 && time <= duration;
  });
  return inside === undefined ? position : timeOfBeat(grid, inside * step);
}

/** First step at or after `position`, s. */
function stepFrom(grid: BeatGrid, position: number, step: number): number {
  return timeOfBeat(grid, Math.ceil(beatAtTime(grid, position) / step - ON_STEP) * step);
}

/**
 * When and where a jump that waits for the grid leaves: the next step that the playhead comes to, by way of the
 * loop's end if need be; at the loop's end where no step lies in the loop. At once where quantise is not in force and
 * where the deck stands, searches or plays backwards.
 */
export function departure(state: DeckState): { from: number; atTime: number } {
  const { now } = state;
  const position = positionAt(state);
  const rate = rateOf(state);
  const grid = gridOf(state);
  if (!grid || !quantised(state) || rate <= 0 || state.searching) return { from: position, atTime: now };
  const { step } = state.quantise;
  const next = Math.max(position, stepFrom(grid, position, step));
  const loop = activeLoop(state);
  if (!loop || position >= loop.end || next < loop.end) {
    return { from: next, atTime: now + (next - position) / rate };
  }
  const turn = now + (loop.end - position) / rate;
  const first = Math.max(loop.start, stepFrom(grid, loop.start, step));
  if (first >= loop.end) return { from: loop.start, atTime: turn };
  return { from: first, atTime: turn + (first - loop.start) / rate };
}

/**
 * How far going on at `to` is off what would have gone on at `from`, null without a grid.
 * @param unit beats after which the music is taken to repeat: 1, or the loop where that is shorter
 */
export function offBeat(
  state: DeckState,
  from: number,
  to: number,
  unit = 1,
): Pick<OutOfTime, 'offset' | 'beats'> | null {
  const grid = gridOf(state);
  if (!grid) return null;
  const beats = beatAtTime(grid, to) - beatAtTime(grid, from);
  const rest = beats - Math.round(beats / unit) * unit;
  const beat = beatAtTime(grid, to);
  return { beats, offset: timeOfBeat(grid, beat) - timeOfBeat(grid, beat - rest) };
}

/** `position` by `beats` of the grid, s. */
export function byBeats(grid: BeatGrid, position: number, beats: number): number {
  return timeOfBeat(grid, beatAtTime(grid, position) + beats);
}

/** The playhead's place if the loop held it from now on. */
export function kept(position: number, loop: { start: number; end: number }): number {
  return position < loop.end ? position : fold(position, loop);
}
