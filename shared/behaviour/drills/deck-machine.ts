/** A hand drill on one deck, told by its start and by what counts as done. */
import { beatAtTime, timeOfBeat } from '../../grid/grid.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import type { Effect } from '../effect.ts';
import { activeLoop, positionAt, rateOf } from '../movement.ts';
import { PLUG_SECONDS, PRESS_SECONDS } from '../practice.ts';
import { isPress, isRelease, type Press, type PressKind, pressesOf } from '../press.ts';
import { reduce } from '../reduce.ts';
import type { DeckState } from '../state.ts';
import { gridOf } from '../steps.ts';
import type { DrillPress, Machine } from './machine.ts';

/** What the drill remembers beside the deck. */
export interface Note {
  failed: boolean;
  /** How far the goal is, in the drill's own steps. */
  stage: number;
  /** s; null: nothing measured yet */
  error: number | null;
}

export interface DeckDrill {
  start: DeckState;
  kinds: readonly PressKind[];
  /** Presses with a measure of their own, such as the track to load. */
  more?: readonly Press[];
  /** Reads what happened between two states. */
  note(note: Note, before: DeckState, after: DeckState, effects: readonly Effect[]): Note;
  done(deck: DeckState, note: Note): boolean;
  /** Waits in s, over and above the next beat. */
  waits?(deck: DeckState): number[];
  most: number;
}

interface State {
  deck: DeckState;
  note: Note;
}

/** Key of what the future of a deck hangs on; times as waits from now, so that the same loop later is the same. */
function keyOf({ deck, note }: State): string {
  const { track, anchor: _anchor, now, loading, loopHold, pending, shadow, ...rest } = deck;
  const round = (x: number) => Math.round(x * 1e4);
  return JSON.stringify([
    track?.id,
    round(positionAt(deck)),
    loading && round(loading.until - now),
    loopHold && [round(now - loopHold.since), loopHold.steps],
    pending && round(pending.atTime - now),
    shadow && round(shadow.position + now - shadow.time),
    rest,
    note,
  ]);
}

/** Time to the next beat, s; null without a grid or while it stands. */
function toNextBeat(deck: DeckState): number | null {
  const grid = gridOf(deck);
  const rate = rateOf(deck);
  if (!grid || rate <= 0) return null;
  const position = positionAt(deck);
  // A hair before a beat is on it: the next one is meant.
  const next = Math.floor(beatAtTime(grid, position) + 1e-6) + 1;
  return (timeOfBeat(grid, next) - position) / rate;
}

/** Time until the playhead is back at the loop's start, s. */
export function toLoopStart(deck: DeckState): number | null {
  const loop = activeLoop(deck);
  const rate = rateOf(deck);
  return loop && rate > 0 ? (loop.end - positionAt(deck)) / rate : null;
}

export function deckMachine(drill: DeckDrill, profile: DeckProfile): Machine<State> {
  const presses = [
    ...pressesOf(profile).filter(({ kind }) => drill.kinds.includes(kind)),
    ...(drill.more ?? []),
  ];
  const step = ({ deck, note }: State, event: Parameters<typeof reduce>[1]): State => {
    const { state, effects } = reduce(deck, event, profile);
    return { deck: state, note: drill.note(note, deck, state, effects) };
  };
  return {
    start: { deck: drill.start, note: { failed: false, stage: 0, error: null } },
    // A button that nobody holds cannot be let go.
    presses: ({ deck }) =>
      presses.filter(({ kind }) => kind !== 'loop-hold-release' || deck.loopHold !== null),
    waits: ({ deck }) =>
      [toNextBeat(deck), ...(drill.waits?.(deck) ?? [])].filter((s): s is number => s !== null && s > 1e-6),
    now: ({ deck }) => deck.now - drill.start.now,
    passTo: (state, time) => step(state, { kind: 'tick', time: drill.start.now + time }),
    press: (state, press) => (isDeckPress(press) ? step(state, press) : state),
    done: ({ deck, note }) => !note.failed && drill.done(deck, note),
    failed: ({ note }) => note.failed,
    error: ({ note }) => note.error,
    key: keyOf,
    hand: (press) => (isRelease(press) ? 0 : press.kind === 'plug-drive' ? PLUG_SECONDS : PRESS_SECONDS),
    most: drill.most,
  };
}

const LIST = ['knob', 'letter', 'search-open', 'type', 'row-touch', 'list-load'];
const isDeckPress = (press: DrillPress): press is Press =>
  !LIST.includes(press.kind) && isPress(press as Press);
