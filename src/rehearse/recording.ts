/** What is pressed in a performance, and a deck's clock put on another time. */
import type { DeckEvent } from '../../shared/behaviour/press.ts';
import type { DeckState } from '../../shared/behaviour/state.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { type Performance, record } from '../../shared/behaviour/what-if/performance.ts';

/** A performance is short: presses beyond these are not kept. */
export const MOST_MOVES = 300;
/** Movements of one fader closer together than this are one, s. Estimate. */
const ONE_MOVE = 0.6;

/** The performance with one more press; a fader that is being moved is one press, at the place where it stops. */
export function recorded(performance: Performance, time: number, press: DeckEvent): Performance {
  const { moves } = performance;
  const last = moves[moves.length - 1];
  const at = Math.max(0, time, last?.time ?? 0);
  const goesOn = press.kind === 'tempo' && last?.press.kind === 'tempo' && at - last.time < ONE_MOVE;
  if (goesOn) return { ...performance, moves: [...moves.slice(0, -1), { time: at, press }] };
  return moves.length >= MOST_MOVES ? performance : record(performance, at, press);
}

/** A recording as it is kept. */
export interface Kept {
  id: string;
  /** ms since 1970 */
  at: number;
  profile: DeckProfile;
  performance: Performance;
}

/** The same deck `by` seconds later on its clock. For a deck that loads nothing, slips nowhere and waits for nothing. */
export function shifted(state: DeckState, by: number): DeckState {
  return {
    ...state,
    now: state.now + by,
    anchor: { ...state.anchor, time: state.anchor.time + by },
  };
}
