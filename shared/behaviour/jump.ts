/** Jumps of the playhead: at once, or when the grid allows; and the way back of slip. */
import type { Effect, JumpCause } from './effect.ts';
import { activeLoop, at, positionAt, rateOf, shadowAt } from './movement.ts';
import { OUT_OF_TIME } from './practice.ts';
import { type DeckState, same, type Step } from './state.ts';
import { departure, offBeat } from './steps.ts';

export interface JumpPlan {
  to: number;
  cause: JumpCause;
  /** Slot of the cue that is jumped to, else null. */
  slot?: number | null;
  /** Waits for the grid when quantise is on. */
  waits: boolean;
}

/** Slip: from here the track runs on unheard, if it does not already. */
export function slipAway(state: DeckState, by: NonNullable<DeckState['shadow']>['by']): DeckState {
  if (!state.slip || state.shadow || !state.playing) return state;
  return { ...state, shadow: shadowOf(state, by) };
}

export function shadowOf(
  state: DeckState,
  by: NonNullable<DeckState['shadow']>['by'],
): NonNullable<DeckState['shadow']> {
  const loop = activeLoop(state);
  return {
    time: state.now,
    position: positionAt(state),
    loop: loop && { start: loop.start, end: loop.end },
    by,
  };
}

/** The warning that belongs to a move while the music plays; nothing where it stays on the beat. */
export function warning(
  state: DeckState,
  from: number,
  to: number,
  unit: number,
  perTurn: number,
): Effect | null {
  const off = offBeat(state, from, to, unit) ?? { offset: 0, beats: 0 };
  const heard = rateOf(state) !== 0 && Math.abs(off.offset) > OUT_OF_TIME;
  return heard || Math.abs(perTurn) > OUT_OF_TIME ? { kind: 'out-of-time', ...off, perTurn } : null;
}

/** Makes the jump, or plans it for the next step. Anchors must stand at `state.now`. */
export function jump(state: DeckState, plan: JumpPlan): Step {
  const { to, cause, slot = null } = plan;
  const { from, atTime } = departure(state);
  if (!plan.waits || atTime <= state.now) return land(state, { from: positionAt(state), to, cause });
  const move = { from, to, atTime, cause };
  return same({ ...state, pending: { ...move, slot } }, { kind: 'planned', ...move });
}

/** The jump itself, now. A jump out of the loop leaves it; going back to the loop turns it on. */
export function land(
  before: DeckState,
  { from, to, cause }: { from: number; to: number; cause: JumpCause },
): Step {
  const away = cause === 'slip' ? before : slipAway(before, cause);
  const state = at({ ...away, pending: null }, to);
  const effects: Effect[] = [{ kind: 'jump', from, to, atTime: state.now, cause }];
  // Sync moves the beat on purpose.
  const off = cause === 'sync' ? null : warning(before, from, to, 1, 0);
  if (off) effects.push(off);
  const { loop } = state;
  if (loop && cause === 'loop' && !loop.active) {
    const { start, end, beats } = loop;
    effects.push({ kind: 'loop-set', start, end, beats, atTime: state.now });
    return { state: { ...state, loop: { ...loop, active: true } }, effects };
  }
  if (loop?.active && (to < loop.start || to >= loop.end)) {
    effects.push({ kind: 'loop-left', atTime: state.now });
    return { state: { ...state, loop: { ...loop, active: false }, loopHold: null }, effects };
  }
  return { state, effects };
}

/** Slip's way back: to where the track would be, and into the loop that it would be in. */
export function comeBack(state: DeckState): Step {
  const to = shadowAt(state);
  const { shadow, loop } = state;
  if (to === null || !shadow) return same(state);
  const from = positionAt(state);
  const effects: Effect[] = [{ kind: 'jump', from, to, atTime: state.now, cause: 'slip' }];
  const back = shadow.loop;
  if (loop?.active && !back) effects.push({ kind: 'loop-left', atTime: state.now });
  const unchanged = back && loop && back.start === loop.start && back.end === loop.end;
  if (back && !(unchanged && loop.active)) {
    effects.push({ kind: 'loop-set', ...back, beats: unchanged ? loop.beats : null, atTime: state.now });
  }
  const next: DeckState['loop'] = back
    ? { ...back, beats: unchanged ? loop.beats : null, active: true }
    : loop && { ...loop, active: false };
  const bare = { ...state, pending: null, shadow: null, reverse: false, loop: next, loopHold: null };
  return { state: at(bare, to), effects };
}

/** Gives up a jump that waits. */
export function dropPlan(state: DeckState): Step {
  return state.pending ? same({ ...state, pending: null }, { kind: 'plan-dropped' }) : same(state);
}

/** The waiting jump after the movement has changed: its moment is computed anew. */
export function replan(state: DeckState): Step {
  const { pending } = state;
  if (!pending) return same(state);
  const { from, atTime } = departure(state);
  if (Math.abs(atTime - pending.atTime) < 1e-9 && from === pending.from) return same(state);
  if (atTime <= state.now) return land(state, { ...pending, from: positionAt(state) });
  const { to, cause } = pending;
  const move = { from, to, atTime, cause };
  return same({ ...state, pending: { ...pending, ...move } }, { kind: 'planned', ...move });
}
