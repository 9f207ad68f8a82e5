/**
 * "Do this mix on another deck": for each intended move the fewest presses that give the same music there, found by a
 * search over the presses that the deck has.
 */
import type { DeckProfile } from '../../profile/schema.ts';
import { beatAtTime } from '../../grid/grid.ts';
import type { Effect } from '../effect.ts';
import { tooLong } from '../loops.ts';
import { positionAt, rateOf } from '../movement.ts';
import { LONG_PRESS, OUT_OF_TIME, PRESS_SECONDS } from '../practice.ts';
import { type HandStep, hasPress, isPress, isRelease } from '../press.ts';
import { reduce } from '../reduce.ts';
import { shortest } from '../search.ts';
import type { DeckState } from '../state.ts';
import { gridOf, offBeat } from '../steps.ts';
import { type IntendedMove, intendedMoves } from './intents.ts';
import { candidates, type ImpossibleKey, meets, reasonFor, SOUNDING, spoils } from './means.ts';
import { opening, type Performance, replay } from './performance.ts';

/** Presses after which a move is called impossible in a performance. */
const MOST_PRESSES = 12;

export interface TranslatedMove {
  move: IntendedMove;
  /** `same`: the very same presses; `other-presses`: the same music by others; `impossible`: not on this deck. */
  outcome: 'same' | 'other-presses' | 'impossible';
  reason: ImpossibleKey | null;
  /** What to press on the other deck, with how long to hold; empty where it is impossible. Letting go is left out. */
  presses: HandStep[];
  /** Presses more than in the performance (negative: fewer); 0 where it is impossible. */
  more: number;
  /** How far the beat stands beside that of the performance after the move, ms; positive: ahead. */
  errorMs: number;
  /** What each turn of the loop adds to that, ms. */
  perTurnMs: number;
}

interface Try {
  deck: DeckState;
  /** Beats jumped so far. */
  jumped: number;
  met: boolean;
}

/**
 * A performance made on a deck of profile `from`, on one of profile `to`. Presses that are not heard (bank, menu,
 * recall) count but take no time, since a hand makes them ahead; each press that is heard takes PRESS_SECONDS before
 * the next. After an impossible move the other deck plays on as it was.
 */
export function translate(performance: Performance, from: DeckProfile, to: DeckProfile): TranslatedMove[] {
  const original = replay(performance, from);
  const moves = intendedMoves(original);
  const results: TranslatedMove[] = [];
  let deck = opening(performance, to);
  original.steps.forEach((step, index) => {
    const { time, press } = step;
    deck = reduce(deck, { kind: 'tick', time }, to).state;
    if (!isPress(press) || isRelease(press)) {
      deck = reduce(deck, press, to).state;
      return;
    }
    const move = moves.find((m) => m.step === index);
    // The start of a loop by hand must be set at its time, not ahead.
    if (!move && press.kind === 'loop-in') deck = reduce(deck, press, to).state;
    if (!move) return;
    const target = step.after;
    const found =
      wayTo(deck, move, target, from, to, OUT_OF_TIME) ?? wayTo(deck, move, target, from, to, Infinity);
    results.push(resultOf(move, found, deck, target, from, to));
    deck = found?.deck ?? deck;
  });
  return results;
}

const isOff = ({ error, perTurn }: { error: number; perTurn: number }, tolerance: number): boolean =>
  Math.abs(error) > tolerance || Math.abs(perTurn) > tolerance;

interface Found {
  presses: HandStep[];
  deck: DeckState;
}

function wayTo(
  deck: DeckState,
  move: IntendedMove,
  target: DeckState,
  from: DeckProfile,
  to: DeckProfile,
  tolerance: number,
): Found | null {
  const { intent } = move;
  const way = shortest<Try, HandStep>({
    start: { deck, jumped: 0, met: false },
    most: MOST_PRESSES,
    actions: ({ deck }) => [
      // First what was pressed there: where it does as well, it is the same press here.
      ...[...move.presses, ...candidates(intent, deck, to)].filter(
        ({ kind }) => kind !== 'loop-hold-release' || deck.loopHold,
      ),
      ...(deck.loopHold ? [{ kind: 'wait' as const, seconds: LONG_PRESS }] : []),
    ],
    act: ({ deck, jumped }, press) => {
      if (press.kind === 'wait') {
        const held = reduce(deck, { kind: 'tick', time: deck.now + press.seconds }, to);
        return { deck: held.state, jumped, met: meets(intent, held.state, held.effects, jumped) };
      }
      const { state, effects } = reduce(deck, press, to);
      if (state === deck || spoils(intent, effects)) return null;
      const beats = jumped + jumpedBeats(deck, effects);
      const met = meets(intent, state, effects, beats);
      if (met && isOff(errorOf(state, target, from, to), tolerance)) return null;
      if (met || !effects.some(({ kind }) => SOUNDING.includes(kind)))
        return { deck: state, jumped: beats, met };
      const rested = reduce(state, { kind: 'tick', time: state.now + hand(press) }, to).state;
      return { deck: rested, jumped: beats, met: meets(intent, rested, effects, beats) };
    },
    done: ({ met }) => met,
    key: ({ deck, jumped, met }) => JSON.stringify([keyOf(deck), jumped.toFixed(6), met]),
    cost: (press) => ({ presses: costs(press) ? 1 : 0, seconds: hand(press) }),
  });
  return way && { presses: way.sequence.filter((p) => !isRelease(p)), deck: way.end.deck };
}

const costs = (step: HandStep): boolean => step.kind !== 'wait' && !isRelease(step);
const hand = (step: HandStep): number =>
  step.kind === 'wait' ? step.seconds : isRelease(step) ? 0 : PRESS_SECONDS;

/** The deck without its track, which never changes within one search, at a tenth of a millisecond. */
export function keyOf(deck: DeckState): string {
  const { track, loading, anchor: _anchor, now: _now, ...rest } = deck;
  return JSON.stringify([track?.id, loading?.until, positionAt(deck).toFixed(4), rest]);
}

function jumpedBeats(deck: DeckState, effects: Effect[]): number {
  return effects.reduce(
    (sum, e) => (e.kind === 'jump' ? sum + (offBeat(deck, e.from, e.to)?.beats ?? 0) : sum),
    0,
  );
}

/** Both decks when the last of what they plan has been done: how far the beats stand apart, s. */
function errorOf(
  deck: DeckState,
  target: DeckState,
  from: DeckProfile,
  to: DeckProfile,
): { error: number; perTurn: number } {
  const time = Math.max(deck.now, target.now, deck.pending?.atTime ?? 0, target.pending?.atTime ?? 0);
  const here = reduce(deck, { kind: 'tick', time }, to).state;
  const there = reduce(target, { kind: 'tick', time }, from).state;
  const loop = here.loop?.active ? here.loop : null;
  const unit = Math.min(1, loop?.beats ?? 1);
  const off = offBeat(here, positionAt(there), positionAt(here), unit)?.offset;
  const error = rateOf(here) === 0 && rateOf(there) === 0 ? 0 : (off ?? positionAt(here) - positionAt(there));
  return { error, perTurn: loop ? turnError(here, there) : 0 };
}

/** How much longer a turn of the loop is than that of the performance, apart from another number of beats, s. */
function turnError(here: DeckState, there: DeckState): number {
  const own = here.loop;
  const grid = gridOf(here);
  if (!own || !grid) return 0;
  if (own.beats !== null) return tooLong(here, own);
  const wanted = there.loop?.active ? there.loop : null;
  const beats = beatAtTime(grid, own.end) - beatAtTime(grid, own.start);
  const nearest = wanted
    ? beatAtTime(grid, wanted.end) - beatAtTime(grid, wanted.start)
    : Math.max(1, Math.round(beats));
  return ((beats - nearest) * (own.end - own.start)) / beats;
}

/** A loop by hand is two presses, though its start was set before the search. */
function withStart(presses: HandStep[], { presses: made }: IntendedMove, to: DeckProfile): HandStep[] {
  const start = made.find((p) => p.kind === 'loop-in');
  const ended = presses.some((p) => p.kind === 'loop-out') && presses.every((p) => p.kind !== 'loop-in');
  return start && ended && hasPress(start, to) ? [start, ...presses] : presses;
}

function resultOf(
  move: IntendedMove,
  found: Found | null,
  deck: DeckState,
  target: DeckState,
  from: DeckProfile,
  to: DeckProfile,
): TranslatedMove {
  if (!found) {
    const reason = reasonFor(move.intent, deck, to);
    return { move, outcome: 'impossible', reason, presses: [], more: 0, errorMs: 0, perTurnMs: 0 };
  }
  const presses = withStart(found.presses, move, to);
  const { error, perTurn } = errorOf(found.deck, target, from, to);
  const pressed = presses.filter(costs);
  const outcome = JSON.stringify(pressed) === JSON.stringify(move.presses) ? 'same' : 'other-presses';
  const more = pressed.length - move.presses.length;
  return { move, outcome, reason: null, presses, more, errorMs: error * 1000, perTurnMs: perTurn * 1000 };
}
