/** One deck, as plain data that can be stored and sent. */
import type { DeckProfile } from '../profile/schema.ts';
import type { Effect, JumpCause, Move } from './effect.ts';
import { FIRST_JUMP, FIRST_STEP } from './practice.ts';
import type { DeckTrack } from './track.ts';

export interface Span {
  /** s */
  start: number;
  end: number;
}

export interface DeckLoop extends Span {
  beats: number | null;
  active: boolean;
}

/** A moment and the place of the playhead at it; every later place is computed from it. */
export interface Anchor {
  /** s on the caller's clock */
  time: number;
  /** s in the track */
  position: number;
}

/** What a hot-cue button fires. */
export interface Pad {
  time: number;
  name: string;
  /** The track it was set in or loaded from: another one than the loaded track's where it is stale. */
  trackId: string;
}

export interface DeckState {
  /** s on the caller's clock */
  now: number;
  track: DeckTrack | null;
  loading: { track: DeckTrack; until: number } | null;
  drive: 'in' | 'pulled';
  playing: boolean;
  anchor: Anchor;
  /** s; the place that the cue button goes to */
  cuePoint: number;
  /** The deck plays only while the cue button is held. */
  cueHeld: boolean;
  searching: -1 | 0 | 1;
  reverse: boolean;
  tempo: {
    /** percent; 0 where the deck has no tempo fader */
    range: number;
    /** −1..1 */
    fader: number;
  };
  /** −1..1 */
  bend: number;
  master: { bpm: number; time: number; beat: number } | null;
  /** Speed that follows the master; null: the fader's. */
  syncRate: number | null;
  quantise: {
    on: boolean;
    /** beats; 0 where the deck has no quantise */
    step: number;
  };
  /** The open menu's entry: 0 is off, n the n-th step; null: closed. */
  menu: number | null;
  /** Length of the beat jump in beats where one is chosen, and whether the screen shows the jumps. */
  jump: { length: number; pageOpen: boolean };
  /** from 1 */
  bank: number;
  /** One entry per slot of the deck. */
  pads: (Pad | null)[];
  recall: { phase: 'off' | 'opening' | 'open' | 'closing'; presses: number };
  loop: DeckLoop | null;
  /** s; a start that was set and waits for its end, or the start of the loop by hand */
  loopIn: number | null;
  /** The button of the lengths is held: since when, and how many longer lengths that has given. */
  loopHold: { since: number; steps: number } | null;
  /** A jump that waits for the grid. */
  pending: (Move & { slot: number | null }) | null;
  slip: boolean;
  /** Where the track would be without the loop, jump or stop: it runs on unheard. */
  shadow: (Anchor & { loop: Span | null; by: JumpCause | 'stop' }) | null;
  /** The drive is gone and the loop is all that the deck still has. */
  savingLoop: boolean;
}

export interface Step {
  state: DeckState;
  effects: Effect[];
}

export const same = (state: DeckState, ...effects: Effect[]): Step => ({ state, effects });
export const message = (state: DeckState, key: Extract<Effect, { kind: 'message' }>['key']): Step =>
  same(state, { kind: 'message', key });

/** A deck that has just been switched on: no track; quantise is on where the deck has it. */
export function newDeck(profile: DeckProfile, now = 0): DeckState {
  const { steps } = profile.quantise;
  const { lengths } = profile.beatJump;
  return {
    now,
    track: null,
    loading: null,
    drive: 'in',
    playing: false,
    anchor: { time: now, position: 0 },
    cuePoint: 0,
    cueHeld: false,
    searching: 0,
    reverse: false,
    tempo: { range: profile.playback.tempoRangesPercent[0] ?? 0, fader: 0 },
    bend: 0,
    master: null,
    syncRate: null,
    quantise: {
      on: steps.length > 0,
      step: steps.includes(FIRST_STEP) ? FIRST_STEP : (steps[steps.length - 1] ?? 0),
    },
    menu: null,
    jump: { length: lengths.includes(FIRST_JUMP) ? FIRST_JUMP : (lengths[0] ?? 0), pageOpen: false },
    bank: 1,
    pads: Array<Pad | null>(profile.hotCues.slots).fill(null),
    recall: { phase: 'off', presses: 0 },
    loop: null,
    loopIn: null,
    loopHold: null,
    pending: null,
    slip: false,
    shadow: null,
    savingLoop: false,
  };
}
