/** Which beats a deck is about to play, if nobody presses anything: for the clicks of a hand drill. Pure. */
import type { AnyMachine } from '../../../shared/behaviour/drills/machine.ts';
import { activeLoop, positionAt, rateOf } from '../../../shared/behaviour/movement.ts';
import type { DeckState } from '../../../shared/behaviour/state.ts';
import { gridOf } from '../../../shared/behaviour/steps.ts';
import { beatAtTime } from '../../../shared/grid/grid.ts';
import { isDeck } from './read-out.ts';

/** Steps in which the deck's course is looked at, s: much shorter than any loop that can be told from a tone. */
const STEP = 0.004;
/** A beat is told to this, s. */
const EXACT = 0.0001;
/** A rounding below a beat counts as on it. */
const HAIR = 1e-6;

export interface Beat {
  /** s on the drill's clock */
  time: number;
  /** The first of a bar, or of the loop that runs. */
  first: boolean;
}

/**
 * Beats whose start is played after `from` and up to `to`, s on the drill's clock. A jump into the middle of a beat is
 * none.
 * @param state of the drill's machine after the last press, not after `from`
 */
export function beatsAhead(machine: AnyMachine, state: unknown, from: number, to: number): Beat[] {
  const deckAt = (time: number): DeckState | null => {
    const then: unknown = machine.passTo(state, Math.max(time, machine.now(state)));
    return isDeck(then) ? then.deck : null;
  };
  const beats: Beat[] = [];
  let before = placeIn(deckAt(from));
  for (let time = from; time < to;) {
    const next = Math.min(to, time + STEP);
    const after = placeIn(deckAt(next));
    if (after && Math.floor(after.beat) !== Math.floor(before?.beat ?? NaN)) {
      let [low, high] = [time, next];
      while (high - low > EXACT) {
        const middle = (low + high) / 2;
        if (Math.floor(placeIn(deckAt(middle))?.beat ?? NaN) === Math.floor(after.beat)) high = middle;
        else low = middle;
      }
      const here = placeIn(deckAt(high));
      const into = here ? here.beat - Math.floor(here.beat) : 1;
      if (here && into <= here.perSecond * 2 * EXACT) beats.push({ time: high, first: here.first });
    }
    before = after;
    time = next;
  }
  return beats;
}

/** Where the deck is in its track, in beats; null where nothing sounds or there is no grid. */
function placeIn(deck: DeckState | null): { beat: number; perSecond: number; first: boolean } | null {
  const grid = deck && gridOf(deck);
  const rate = deck ? rateOf(deck) : 0;
  if (!deck || !grid || rate <= 0) return null;
  const position = positionAt(deck);
  const beat = beatAtTime(grid, position) + HAIR;
  const loop = activeLoop(deck);
  const start = loop && position >= loop.start && position < loop.end ? beatAtTime(grid, loop.start) : null;
  const number = Math.floor(beat);
  const inBar = (((number + grid.firstBeatInBar) % grid.beatsPerBar) + grid.beatsPerBar) % grid.beatsPerBar;
  const first = start === null ? inBar === 0 : Math.abs(number - start) < 0.5;
  return { beat, perSecond: (beatAtTime(grid, position + 1) - beatAtTime(grid, position)) * rate, first };
}
