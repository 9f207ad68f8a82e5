/** A short performance: what was pressed when, and how a deck answers to it. Events, no sound. */
import type { Effect } from '../effect.ts';
import { loadingSeconds } from '../practice.ts';
import { type DeckEvent, hasPress, isPress } from '../press.ts';
import { reduce, reduceAll } from '../reduce.ts';
import { at } from '../movement.ts';
import { type DeckState, newDeck } from '../state.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import type { DeckTrack } from '../track.ts';

export interface PerformedMove {
  /** s from the performance's start */
  time: number;
  press: DeckEvent;
}

export interface Performance {
  track: DeckTrack;
  /** The track that was on the deck before: its cues may still be on the buttons. */
  previous: DeckTrack | null;
  /** s in the track at which the performance begins */
  position: number;
  playing: boolean;
  /** In order of time. */
  moves: PerformedMove[];
}

/** A performance in which nothing has been pressed yet. */
export const emptyPerformance = (
  track: DeckTrack,
  { previous = null, position = 0, playing = true }: Partial<Omit<Performance, 'track' | 'moves'>> = {},
): Performance => ({ track, previous, position, playing, moves: [] });

/** The performance with one more press. @throws RangeError for a time before the last press */
export function record(performance: Performance, time: number, press: DeckEvent): Performance {
  const last = performance.moves[performance.moves.length - 1]?.time ?? 0;
  if (!(time >= last)) throw new RangeError(`A press at ${time} s cannot follow one at ${last} s.`);
  return { ...performance, moves: [...performance.moves, { time, press }] };
}

/** A deck of that profile at the start of the performance, its clock at 0. Nobody has loaded cues by hand. */
export function opening(performance: Performance, profile: DeckProfile): DeckState {
  const { track, previous, position, playing } = performance;
  let deck = newDeck(profile);
  for (const each of previous ? [previous, track] : [track]) {
    const ready = deck.now + loadingSeconds(each.metadataItems, profile);
    const events: DeckEvent[] = [
      { kind: 'load', track: each },
      { kind: 'tick', time: ready },
    ];
    deck = reduceAll(deck, events, profile).state;
    // The track before had its cues, however they came there.
    if (each === previous) deck = { ...deck, pads: deck.pads.map((_, i) => padOf(each, i + 1)) };
  }
  const there = at({ ...deck, now: 0 }, position);
  return playing ? reduce(there, { kind: 'play' }, profile).state : there;
}

function padOf(track: DeckTrack, slot: number): DeckState['pads'][number] {
  const cue = track.cues.find((c) => c.slot === slot);
  return cue ? { time: cue.time, name: cue.name, trackId: track.id } : null;
}

export interface ReplayStep extends PerformedMove {
  /** The deck just before the press. */
  before: DeckState;
  after: DeckState;
  effects: Effect[];
  /** False where the deck has no such control. */
  exists: boolean;
}

export interface Replay {
  start: DeckState;
  steps: ReplayStep[];
  end: DeckState;
}

/** The same presses at the same times on a deck of that profile, whether it has them or not. */
export function replay(performance: Performance, profile: DeckProfile): Replay {
  const start = opening(performance, profile);
  const steps: ReplayStep[] = [];
  let state = start;
  for (const { time, press } of performance.moves) {
    const before = reduce(state, { kind: 'tick', time }, profile).state;
    const { state: after, effects } = reduce(before, press, profile);
    steps.push({ time, press, before, after, effects, exists: !isPress(press) || hasPress(press, profile) });
    state = after;
  }
  return { start, steps, end: state };
}
