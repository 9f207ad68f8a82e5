/** Play, cue, search, seek, slip: what starts, stops and moves the playhead. */
import { beatAtTime, tempoAt, timeOfBeat } from '../grid/grid.ts';
import { comeBack, dropPlan, jump, land, shadowOf } from './jump.ts';
import { at, forwardRate, positionAt, rateOf, shadowAt } from './movement.ts';
import type { Effect } from './effect.ts';
import { SAME_PLACE, STRIP_PLACES } from './practice.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { type DeckState, message, same, type Step } from './state.ts';
import { byBeats, gridOf, nearestStep } from './steps.ts';
import { movedLoop } from './loops.ts';

/** Runs `next` on what `step` left and keeps the effects of both. */
export function andThen(step: Step, next: (state: DeckState) => Step): Step {
  const { state, effects } = next(step.state);
  return { state, effects: [...step.effects, ...effects] };
}

function stopped(state: DeckState, reason: 'pressed' | 'end' | 'drive'): Step {
  const stop: Effect = { kind: 'stop', position: positionAt(state), atTime: state.now, reason };
  const bare = { ...state, playing: false, cueHeld: false, reverse: false, searching: 0 as const };
  return same({ ...bare, loopHold: null }, stop);
}

/** Stands where it is; slip's track runs on. */
export function stop(state: DeckState, reason: 'pressed' | 'end' | 'drive'): Step {
  const shadow = reason === 'pressed' && state.slip ? (state.shadow ?? shadowOf(state, 'stop')) : null;
  return andThen(dropPlan(state), (s) => stopped({ ...s, shadow }, reason));
}

function start(state: DeckState): Step {
  const playing = { ...state, playing: true };
  return same(playing, {
    kind: 'start',
    position: positionAt(state),
    rate: rateOf(playing),
    atTime: state.now,
  });
}

export function pressPlay(state: DeckState): Step {
  if (state.cueHeld) return same({ ...state, cueHeld: false });
  if (state.playing) return stop(state, 'pressed');
  const back = shadowAt(state) !== null ? comeBack(state) : same(state);
  if (positionAt(back.state) >= (state.track?.duration ?? 0)) return message(state, 'track-ended');
  return andThen(back, start);
}

/** Playing: back to the cue point and stop. Standing on it: plays while held. Standing elsewhere: the cue point is here. */
export function pressCue(state: DeckState): Step {
  const { cuePoint, track } = state;
  if (state.cueHeld) return same(state);
  const bare = { ...state, shadow: null };
  if (state.playing || state.searching) {
    const halted = andThen(dropPlan(bare), (s) => stopped(s, 'pressed'));
    return andThen(halted, (s) => goTo(s, cuePoint));
  }
  if (Math.abs(positionAt(state) - cuePoint) < SAME_PLACE && cuePoint < (track?.duration ?? 0)) {
    return start({ ...at(bare, cuePoint), cueHeld: true });
  }
  const here = nearestStep(state, positionAt(state));
  return same({ ...at(bare, here), cuePoint: here }, { kind: 'cue-set', slot: null, position: here });
}

function goTo(state: DeckState, to: number): Step {
  return land(state, { from: positionAt(state), to, cause: 'cue' });
}

export function releaseCue(state: DeckState): Step {
  if (!state.cueHeld) return same(state);
  return andThen(
    andThen(dropPlan({ ...state, shadow: null }), (s) => stopped(s, 'pressed')),
    (s) => goTo(s, s.cuePoint),
  );
}

/** Winding while held; it leaves the loop. */
export function pressSearch(state: DeckState, direction: 1 | -1): Step {
  const { loop } = state;
  const plan = dropPlan({ ...state, searching: direction, reverse: false, shadow: null, loopHold: null });
  if (!loop?.active) return plan;
  return andThen(plan, (s) =>
    same({ ...s, loop: { ...loop, active: false } }, { kind: 'loop-left', atTime: s.now }),
  );
}

export const releaseSearch = (state: DeckState): Step => same({ ...state, searching: 0 });

/** By touching a strip or the overview, as finely as it is divided; only on a deck that stands (estimate). */
export function seek(state: DeckState, share: number, places: number): Step {
  if (state.playing) return message(state, 'seek-needs-stop');
  const to = (Math.round(share * places) / places) * (state.track?.duration ?? 0);
  return land({ ...state, shadow: null }, { from: positionAt(state), to, cause: 'seek' });
}

export const touchStrip = (state: DeckState, share: number): Step => seek(state, share, STRIP_PLACES);

export const touchOverview = (state: DeckState, share: number, { overview }: DeckProfile): Step =>
  seek(state, share, overview.columns);

export function listenAhead(state: DeckState, share: number, { overview }: DeckProfile): Step {
  const position = (Math.round(share * overview.columns) / overview.columns) * (state.track?.duration ?? 0);
  return same(state, { kind: 'listen-ahead', position });
}

/**
 * By beats of the grid, at once, since the phase in the beat is kept. A loop in force moves along.
 * Common practice, no source.
 */
export function beatJump(state: DeckState, beats: number): Step {
  const grid = gridOf(state);
  if (!grid || !state.track) return message(state, 'jump-needs-grid');
  const from = positionAt(state);
  const to = byBeats(grid, from, beats);
  if (to < 0 || to >= state.track.duration) return message(state, 'jump-outside');
  if (!state.loop?.active) return jump(state, { to, cause: 'beat-jump', waits: false });
  const loop = movedLoop(state, beats);
  if (!loop) return message(state, 'jump-outside');
  const step = land({ ...state, loop }, { from, to, cause: 'beat-jump' });
  const { start, end } = loop;
  return {
    ...step,
    effects: [...step.effects, { kind: 'loop-changed', start, end, beats: loop.beats, atTime: state.now }],
  };
}

/** Slip on or off; turned off, the track stays where it is heard. */
export const pressSlip = (state: DeckState): Step =>
  same({ ...state, slip: !state.slip, shadow: state.slip && !state.reverse ? null : state.shadow });

/** Backwards while held, whether slip is on or off; the track runs on unheard. */
export function pressReverse(state: DeckState): Step {
  if (!state.playing || state.reverse || state.searching) return same(state);
  const shadow = state.shadow ?? shadowOf(state, 'slip');
  return andThen(dropPlan(state), (s) => same({ ...s, reverse: true, shadow }));
}

export const releaseReverse = (state: DeckState): Step =>
  state.reverse ? andThen(dropPlan(state), comeBack) : same(state);

/** Follows the tempo of the master and its beat, or leaves it. */
export function pressSync(state: DeckState): Step {
  if (state.syncRate !== null) return same({ ...state, syncRate: null });
  const { master } = state;
  const grid = gridOf(state);
  if (!master) return message(state, 'sync-needs-master');
  const position = positionAt(state);
  const rate = grid && syncedRate(state);
  if (!grid || rate === null) return message(state, 'sync-needs-grid');
  const synced = { ...state, syncRate: rate };
  if (!state.playing || state.reverse || forwardRate(synced) <= 0) return same(synced);
  const due = master.beat + ((state.now - master.time) * master.bpm) / 60;
  const phase = due - Math.floor(due);
  // The nearest place whose part of the beat is the master's.
  const to = timeOfBeat(grid, Math.round(beatAtTime(grid, position) - phase) + phase);
  if (to < 0 || to >= (state.track?.duration ?? 0) || Math.abs(to - position) < 1e-9) return same(synced);
  return land(synced, { from: position, to, cause: 'sync' });
}

/** Speed at which the track, here, has the master's tempo; null without either. */
export function syncedRate(state: DeckState): number | null {
  const grid = gridOf(state);
  if (!grid || !state.master) return null;
  const bpm = tempoAt(grid, positionAt(state));
  return bpm && state.master.bpm / bpm;
}
