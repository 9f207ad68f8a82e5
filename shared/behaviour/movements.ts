/** What a deck's state says about the sound to come: where the playhead is from when on, and how it moves. */
import type { DeckProfile } from '../profile/schema.ts';
import { activeLoop, rateOf } from './movement.ts';
import { reduce } from './reduce.ts';
import type { Anchor, DeckState, Span } from './state.ts';

/** From `time` on (s on the caller's clock) the playhead moves from `position` (s in the track). */
export interface Movement extends Anchor {
  /** Track seconds per second; 0: silence, negative: backwards. */
  rate: number;
  /** Holds the playhead that has not passed it. */
  loop: Span | null;
}

const movementOf = (state: DeckState): Movement => {
  const { time, position } = state.anchor;
  const loop = activeLoop(state);
  return { time, position, rate: rateOf(state), loop: loop && { start: loop.start, end: loop.end } };
};

/**
 * The movement in force and, where a jump waits for the grid, the one after it. A player that has them needs no more
 * word until the next effect: loops turn of themselves, and what was told late is still in time, because every place
 * is computed from the moment that it counts from.
 */
export function movementsOf(state: DeckState, profile: DeckProfile): Movement[] {
  const { pending } = state;
  const now = movementOf(state);
  if (!pending) return [now];
  return [now, movementOf(reduce(state, { kind: 'tick', time: pending.atTime }, profile).state)];
}
