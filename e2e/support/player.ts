/** Presses on a deck as the orders that the player gets for them, and the sample that is due at any frame. */
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { positionAt, rateOf } from '../../shared/behaviour/movement.ts';
import { movementsOf } from '../../shared/behaviour/movements.ts';
import type { DeckEvent } from '../../shared/behaviour/press.ts';
import { reduce } from '../../shared/behaviour/reduce.ts';
import type { DeckState } from '../../shared/behaviour/state.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import type { SoundOrder } from '../../workers/sound/mixer.ts';

export const RATE = 44_100;

/** Address of the built worklet. */
export function workletAddress(): string {
  const folder = fileURLToPath(new URL('../../.build/assets/', import.meta.url));
  const name = readdirSync(folder).find((file) => /^player-worklet-.*\.js$/.test(file));
  if (!name) throw new Error('The build has no worklet.');
  return `/assets/${name}`;
}

export interface Timed {
  /** s */
  time: number;
  event: DeckEvent;
}

/** The orders for those events, all told before the first frame: each stands from its own time on. */
export function ordersFor(start: DeckState, profile: DeckProfile, events: readonly Timed[]): SoundOrder[] {
  let state = start;
  const orders: SoundOrder[] = [{ kind: 'move', deck: 0, movements: movementsOf(state, profile) }];
  for (const { time, event } of events) {
    state = reduce(state, { kind: 'tick', time }, profile).state;
    state = reduce(state, event, profile).state;
    orders.push({ kind: 'move', deck: 0, movements: movementsOf(state, profile) });
  }
  return orders;
}

/** Number of the sample that is due in each frame, by the state machine alone; −1: silence. */
export function dueSamples(
  start: DeckState,
  profile: DeckProfile,
  events: readonly Timed[],
  seconds: number,
): number[] {
  let state = start;
  let next = 0;
  return Array.from({ length: Math.round(seconds * RATE) }, (_, frame) => {
    const now = frame / RATE;
    while (next < events.length && events[next].time <= now + 1e-9) {
      const { time, event } = events[next++];
      state = reduce(reduce(state, { kind: 'tick', time }, profile).state, event, profile).state;
    }
    state = reduce(state, { kind: 'tick', time: now }, profile).state;
    if (rateOf(state) === 0) return -1;
    const place = positionAt(state);
    const loop = state.loop?.active ? state.loop : null;
    // The end of a loop, less a rounding, is its start.
    const turned = loop && rateOf(state) > 0 && Math.abs(place - loop.end) < 1e-7;
    return (turned ? place - (loop.end - loop.start) : place) * RATE;
  });
}
