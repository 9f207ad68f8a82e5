/** The hand drill of listening: hear a track in the headphones before it is on air, and keep what is on air. */
import type { DeckProfile } from '../../profile/schema.ts';
import { PRESS_SECONDS, TURN_SECONDS } from '../practice.ts';
import { PRACTICE_TITLES } from './list-drill.ts';
import {
  firstOfList,
  hasListPress,
  type ListPress,
  type ListState,
  listed,
  reduceList,
} from './list-model.ts';
import type { AnyMachine, DrillPress, Machine } from './machine.ts';

/** Two decks: one is on air, the fader of the other one is down. */
export type ListenPress =
  /** Touches a row of the list to hear its track from there. */
  | { kind: 'row-preview'; row: number }
  | { kind: 'load-to'; deck: BoothDeck }
  | { kind: 'headphones'; deck: BoothDeck }
  /** Lets the deck play that is not on air. */
  | { kind: 'play-off-air' };
export type BoothDeck = 'on-air' | 'off-air';

export interface ListenBooth {
  onAir: string;
  offAir: string | null;
  offAirPlays: boolean;
  headphones: BoothDeck;
  /** Track that is heard from the list, or null. */
  fromList: string | null;
}

export interface ListenState {
  list: ListState;
  booth: ListenBooth;
  /** s */
  now: number;
}

export const LISTEN_TITLE = PRACTICE_TITLES[3];
/** On air at the start. */
export const ON_AIR_TITLE = PRACTICE_TITLES[22];

export const hasListenPress = ({ kind }: ListenPress, { list }: DeckProfile): boolean =>
  kind !== 'row-preview' || list.preview === 'touch';

const LISTENS = ['row-preview', 'load-to', 'headphones', 'play-off-air'];
const isListenPress = (press: DrillPress): press is ListenPress => LISTENS.includes(press.kind);
const MOVES = ['knob', 'row-touch'];
const isMove = (press: DrillPress): press is ListPress => MOVES.includes(press.kind);

function pressed(state: ListenState, press: ListenPress, profile: DeckProfile): ListenState {
  if (!hasListenPress(press, profile)) return state;
  const { list, booth } = state;
  const titles = listed(PRACTICE_TITLES, list);
  const chosen = titles[list.cursor];
  const to = (changes: Partial<ListenBooth>): ListenState => ({ ...state, booth: { ...booth, ...changes } });
  switch (press.kind) {
    case 'row-preview':
      return press.row < profile.list.rows ? to({ fromList: titles[list.top + press.row] ?? null }) : state;
    case 'load-to':
      return press.deck === 'on-air' ? to({ onAir: chosen }) : to({ offAir: chosen, offAirPlays: false });
    case 'headphones':
      return to({ headphones: press.deck });
    case 'play-off-air':
      return booth.offAir === null ? state : to({ offAirPlays: true });
  }
}

const heard = ({ headphones, offAir, offAirPlays, fromList }: ListenBooth): boolean =>
  fromList === LISTEN_TITLE || (headphones === 'off-air' && offAirPlays && offAir === LISTEN_TITLE);

/** Everything that this deck lets hands do in the drill. */
export function listenPresses(profile: DeckProfile): DrillPress[] {
  const rows = Array.from({ length: profile.list.rows }, (_, row) => row);
  const moves: ListPress[] = [
    { kind: 'knob', by: 1 },
    { kind: 'knob', by: -1 },
    ...rows.map((row) => ({ kind: 'row-touch' as const, row })),
  ];
  const listens: ListenPress[] = [
    ...rows.map((row) => ({ kind: 'row-preview' as const, row })),
    { kind: 'load-to', deck: 'off-air' },
    { kind: 'play-off-air' },
    { kind: 'headphones', deck: 'off-air' },
    { kind: 'load-to', deck: 'on-air' },
    { kind: 'headphones', deck: 'on-air' },
  ];
  return [
    ...moves.filter((press) => hasListPress(press, profile)),
    ...listens.filter((press) => hasListenPress(press, profile)),
  ];
}

/** From the list where it can be heard there; else on the deck that is not on air, in the headphones. */
export function hearFirst(profile: DeckProfile): AnyMachine {
  const presses = listenPresses(profile);
  const machine: Machine<ListenState> = {
    start: {
      list: firstOfList,
      booth: {
        onAir: ON_AIR_TITLE,
        offAir: null,
        offAirPlays: false,
        headphones: 'on-air',
        fromList: null,
      },
      now: 0,
    },
    // Any other track that is loaded would only be in the way.
    presses: ({ list }) =>
      presses.filter(({ kind }) => kind !== 'load-to' || PRACTICE_TITLES[list.cursor] === LISTEN_TITLE),
    waits: () => [],
    now: ({ now }) => now,
    passTo: (state, now) => ({ ...state, now }),
    press: (state, press) =>
      isListenPress(press)
        ? pressed(state, press, profile)
        : isMove(press)
          ? { ...state, list: reduceList(state.list, press, PRACTICE_TITLES, profile) }
          : state,
    done: ({ booth }) => booth.onAir === ON_AIR_TITLE && heard(booth),
    failed: ({ booth }) => booth.onAir !== ON_AIR_TITLE,
    error: () => null,
    key: ({ list, booth }) => JSON.stringify([list, booth]),
    hand: ({ kind }) => (kind === 'knob' ? TURN_SECONDS : PRESS_SECONDS),
    most: 12,
  };
  return machine;
}
