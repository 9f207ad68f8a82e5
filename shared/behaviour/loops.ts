/** Loops: set by length or by hand, halved, doubled, left and entered again; each as the profile says. */
import { beatAtTime, timeOfBeat } from '../grid/grid.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { FRAME_SECONDS, LONGEST_LOOP } from '../survival/rules/loops.ts';
import type { Effect } from './effect.ts';
import { comeBack, jump, slipAway, warning } from './jump.ts';
import { at, positionAt } from './movement.ts';
import { LONG_PRESS } from './practice.ts';
import { type DeckLoop, type DeckState, message, same, type Span, type Step } from './state.ts';
import { byBeats, gridOf, kept, nearestStep, quantised } from './steps.ts';

/** Beats of the shortest loop, or null where the deck goes down to a frame and not to a part of a beat. */
const SHORTEST = { '1/32 beat': 1 / 32, '1/64 beat': 1 / 64, frame: null };

/** Puts the loop in force: the playhead past its end goes on inside it, at the place that keeps the beat. */
function enter(before: DeckState, loop: DeckLoop, effect: 'loop-set' | 'loop-changed', to?: number): Step {
  const from = positionAt(before);
  const away = slipAway(before, 'loop');
  const { start, end, beats } = loop;
  const atTime = before.now;
  const stays = kept(from, loop);
  const land = to ?? stays;
  const effects: Effect[] = [{ kind: effect, start, end, beats, atTime }];
  if (land !== from) effects.push({ kind: 'jump', from, to: land, atTime, cause: 'loop' });
  const off = warning(before, stays, land, Math.min(1, beats ?? 1), tooLong(before, loop));
  if (off) effects.push(off);
  return { state: at({ ...away, pending: null, loop }, land), effects };
}

/** What each turn adds to the length that the deck says, s. */
export function tooLong(state: DeckState, { start, end, beats }: DeckLoop): number {
  const grid = gridOf(state);
  return grid && beats !== null ? end - byBeats(grid, start, beats) : 0;
}

/** Length of a span in the track's beats, or null without a grid. */
export function beatsIn(state: DeckState, { start, end }: Span): number | null {
  const grid = gridOf(state);
  return grid && beatAtTime(grid, end) - beatAtTime(grid, start);
}

/**
 * A loop of `beats` from here. With quantise it starts at the nearest step. On a deck whose loops are unreliable with
 * quantise the start is moved and the end is not: the loop is wrong by the shift, at every turn (our reading of the
 * fact; estimate).
 */
function setLength(state: DeckState, beats: number, profile: DeckProfile): Step {
  const grid = gridOf(state);
  if (!grid) return message(state, 'loop-needs-grid');
  const position = positionAt(state);
  const start = nearestStep(state, position);
  const counted = quantised(state) && profile.loops.unreliableWithQuantise ? position : start;
  const end = byBeats(grid, counted, beats);
  if (end > (state.track?.duration ?? 0)) return message(state, 'loop-past-end');
  if (end - start < FRAME_SECONDS / 2) return message(state, 'loop-too-short');
  return enter({ ...state, loopIn: start }, { start, end, beats, active: true }, 'loop-set');
}

/**
 * Another length of the loop in force, from the same start. With quantise on the place is kept modulo the new length;
 * with quantise off as the profile says. `unreliable` (and quantise where the profile says so): the playhead snaps to
 * the start and the length becomes whole frames, so that the loop drifts at every turn (our reading; estimate).
 */
function change(state: DeckState, to: { beats: number } | { factor: number }, profile: DeckProfile): Step {
  const { loop, track } = state;
  const grid = gridOf(state);
  if (!loop?.active) return message(state, 'no-loop');
  const factor = 'factor' in to ? to.factor : null;
  const beats = 'beats' in to ? to.beats : loop.beats === null ? null : loop.beats * to.factor;
  if ('beats' in to && !grid) return message(state, 'loop-needs-grid');
  const { start } = loop;
  const end =
    beats !== null && grid ? byBeats(grid, start, beats) : start + (loop.end - start) * (factor ?? 1);
  const measured = beats ?? beatsIn(state, { start, end });
  const least = SHORTEST[profile.loops.shortest];
  const shorter = end < loop.end;
  const tooShort =
    least === null || measured === null ? end - start < FRAME_SECONDS * (1 - 1e-9) : measured < least;
  if (shorter && tooShort) return message(state, 'loop-shortest');
  if (!shorter && (measured ?? 0) > LONGEST_LOOP) return message(state, 'loop-longest');
  const onGrid = quantised(state);
  const unreliable = onGrid
    ? profile.loops.unreliableWithQuantise
    : profile.loops.changeUnquantised === 'unreliable';
  const frames = Math.max(1, Math.round((end - start) / FRAME_SECONDS));
  const changed = { start, end: unreliable ? start + frames * FRAME_SECONDS : end, beats, active: true };
  if (changed.end > (track?.duration ?? 0)) return message(state, 'loop-past-end');
  const snaps = unreliable || (!onGrid && profile.loops.changeUnquantised === 'snaps-to-start');
  return enter(state, changed, 'loop-changed', snaps ? start : undefined);
}

/** The button of a length: changes the loop in force, else sets one. On some decks each further press halves. */
export function pressLength(state: DeckState, beats: number, profile: DeckProfile): Step {
  if (!state.loop?.active) return setLength(state, beats, profile);
  return change(state, profile.loops.method === 'halving-press' ? { factor: 0.5 } : { beats }, profile);
}

export const halve = (state: DeckState, profile: DeckProfile): Step =>
  change(state, { factor: 0.5 }, profile);
export const double = (state: DeckState, profile: DeckProfile): Step => change(state, { factor: 2 }, profile);

/** One button for all lengths: the shortest at once, from the same place the next one for each LONG_PRESS held. */
export function hold(state: DeckState, profile: DeckProfile): Step {
  const step = pressLength(state, profile.loops.direct[0], profile);
  const set = step.effects.some(({ kind }) => kind === 'loop-set' || kind === 'loop-changed');
  return set ? { ...step, state: { ...step.state, loopHold: { since: state.now, steps: 0 } } } : step;
}

/** When holding gives the next longer length; Infinity: it gives none. */
export function holdDue({ loopHold, loop }: DeckState, { loops }: DeckProfile): number {
  if (!loopHold || !loop?.active || loopHold.steps + 1 >= loops.direct.length) return Infinity;
  return loopHold.since + (loopHold.steps + 1) * LONG_PRESS;
}

/** The next longer length while the button is held: still the same setting of a loop, so the place is kept. */
export function holdOn(state: DeckState, profile: DeckProfile): Step {
  const { loopHold, loop } = state;
  const grid = gridOf(state);
  if (!loopHold || !loop || !grid) return same({ ...state, loopHold: null });
  const steps = loopHold.steps + 1;
  const beats = profile.loops.direct[steps];
  const next = { ...state, loopHold: { ...loopHold, steps } };
  const end = byBeats(grid, loop.start, beats);
  if (end > (state.track?.duration ?? 0)) return message(next, 'loop-past-end');
  return enter(next, { ...loop, end, beats }, 'loop-changed');
}

/** The start of a loop by hand; leaves the loop in force. */
export function setIn(state: DeckState): Step {
  const start = nearestStep(state, positionAt(state));
  const left = state.loop?.active ? exit(state) : same(state);
  return { ...left, state: { ...left.state, loopIn: start } };
}

/** The end of a loop by hand: the loop is in force from here, at least one step long with quantise. */
export function setOut(state: DeckState, profile: DeckProfile): Step {
  const { loopIn: start, quantise, track } = state;
  if (start === null) return message(state, 'loop-needs-start');
  const position = positionAt(state);
  const grid = gridOf(state);
  const onGrid = grid !== null && quantised(state) && !profile.loops.unreliableWithQuantise;
  if (!onGrid) {
    if (position - start < FRAME_SECONDS) return message(state, 'loop-too-short');
    return enter(state, { start, end: position, beats: null, active: true }, 'loop-set', start);
  }
  const steps = Math.round((beatAtTime(grid, position) - beatAtTime(grid, start)) / quantise.step);
  if (steps < 0) return message(state, 'loop-too-short');
  const beats = Math.max(1, steps) * quantise.step;
  const end = byBeats(grid, start, beats);
  if (end > (track?.duration ?? 0)) return message(state, 'loop-past-end');
  return enter(state, { start, end, beats, active: true }, 'loop-set');
}

/** Lets the track go on; after slip it goes on where it would be. */
export function exit(state: DeckState): Step {
  const { loop, shadow } = state;
  if (!loop?.active) return message(state, 'no-loop');
  if (shadow?.by === 'loop') return comeBack(state);
  return same(
    { ...state, loop: { ...loop, active: false }, loopHold: null },
    { kind: 'loop-left', atTime: state.now },
  );
}

/** Back to the start of the loop that was left, at the next step with quantise. */
export function reenter(state: DeckState): Step {
  const { loop } = state;
  if (!loop || loop.active) return message(state, 'no-loop');
  return jump(state, { to: loop.start, cause: 'loop', waits: true });
}

/** The loop in force moved by whole beats with the playhead, or null where it would leave the track. */
export function movedLoop(state: DeckState, beats: number): DeckLoop | null {
  const { loop, track } = state;
  const grid = gridOf(state);
  if (!loop || !grid || !track) return null;
  const start = byBeats(grid, loop.start, beats);
  const end = timeOfBeat(grid, beatAtTime(grid, loop.end) + beats);
  return start < 0 || end > track.duration ? null : { ...loop, start, end };
}
