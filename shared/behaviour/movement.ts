/**
 * Where the playhead is. Every place is computed from the last anchor by one multiplication and one division with
 * remainder: it does not matter how often the time was told, nor how often a loop has turned.
 */
import { BEND, SEARCH_SPEED, tempoStep } from './practice.ts';
import type { Anchor, DeckState, Span } from './state.ts';

/** `place` brought into the loop by whole turns, s. */
export function fold(place: number, { start, end }: Span): number {
  const length = end - start;
  const into = (((place - start) % length) + length) % length;
  // A place a rounding below the start would come out as the end itself.
  return into >= length ? start : start + into;
}

/** Place at `time` of what moves from `anchor` at `rate`, turning in `loop` if it is not past it. */
export function place(anchor: Anchor, time: number, rate: number, loop: Span | null): number {
  const straight = anchor.position + (time - anchor.time) * rate;
  if (!loop || rate === 0) return straight;
  const caught = rate > 0 ? anchor.position < loop.end : anchor.position >= loop.start;
  const inside = rate > 0 ? straight < loop.end : straight >= loop.start;
  return inside || !caught ? straight : fold(straight, loop);
}

/** Tempo change by the fader, in percent, at the deck's resolution. */
export function tempoPercent({ tempo }: DeckState): number {
  const step = tempoStep(tempo.range);
  // Divided rather than multiplied by the step, so that the percentages are the nearest floats to the decimals.
  return Math.round((tempo.fader * tempo.range) / step) / Math.round(1 / step);
}

/** Speed forwards, track seconds per second, whether the deck plays or not. */
export function forwardRate(state: DeckState): number {
  return (state.syncRate ?? 1 + tempoPercent(state) / 100) * (1 + state.bend * BEND);
}

/** Speed of the playhead now, track seconds per second; 0: it stands, negative: backwards. */
export function rateOf(state: DeckState): number {
  if (!state.track) return 0;
  if (state.searching) return state.searching * SEARCH_SPEED;
  if (!state.playing) return 0;
  return state.reverse ? -forwardRate(state) : forwardRate(state);
}

/** The loop that holds the playhead, or null. */
export const activeLoop = ({ loop }: DeckState): Span | null => (loop?.active ? loop : null);

const clamp = (position: number, { track }: DeckState): number =>
  Math.min(Math.max(0, position), track?.duration ?? 0);

/**
 * Place of the playhead in the track, s.
 * @param time s on the caller's clock, at least `state.anchor.time`; what is due in between (a waiting jump) is not
 *   made: tell the deck the time for that
 */
export function positionAt(state: DeckState, time: number = state.now): number {
  return clamp(place(state.anchor, time, rateOf(state), activeLoop(state)), state);
}

/** Where the track would be without slip's loop, jump or stop, s; null: nothing has slipped. */
export function shadowAt(state: DeckState, time: number = state.now): number | null {
  const { shadow } = state;
  return shadow && clamp(place(shadow, time, forwardRate(state), shadow.loop), state);
}

/** The same deck with its anchors at this moment: to be called before anything that changes the movement. */
export function anchored(state: DeckState): DeckState {
  const shadow = state.shadow && { ...state.shadow, time: state.now, position: shadowAt(state) ?? 0 };
  return { ...state, anchor: { time: state.now, position: positionAt(state) }, shadow };
}

/** The same deck with the playhead at `position` now. */
export const at = (state: DeckState, position: number): DeckState => ({
  ...state,
  anchor: { time: state.now, position: clamp(position, state) },
});

/** When the playhead reaches the track's end, s on the caller's clock; Infinity: never as things stand. */
export function endTime(state: DeckState): number {
  const rate = rateOf(state);
  const loop = activeLoop(state);
  if (rate <= 0 || !state.track || (loop && state.anchor.position < loop.end)) return Infinity;
  return state.anchor.time + Math.max(0, state.track.duration - state.anchor.position) / rate;
}
