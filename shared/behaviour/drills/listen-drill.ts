/** The hand drill of listening: hear a track in the headphones before it is on air, and keep what is on air. */
import type { DeckProfile } from '../../profile/schema.ts';
import { PRESS_SECONDS, TURN_SECONDS } from '../practice.ts';
import { PRACTICE_TITLES } from './list-drill.ts';
import { firstOfList, hasListPress, type ListPress, reduceList } from './list-model.ts';
import {
  hasListenPress,
  type ListenBooth,
  type ListenPress,
  type ListenState,
  reduceListen,
} from './listen-model.ts';
import type { AnyMachine, DrillPress, Machine } from './machine.ts';

export const LISTEN_TITLE = PRACTICE_TITLES[3];
/** On air at the start. */
export const ON_AIR_TITLE = PRACTICE_TITLES[22];

const LISTENS = ['row-preview', 'load-to', 'headphones', 'play-off-air'];
const isListenPress = (press: DrillPress): press is ListenPress => LISTENS.includes(press.kind);
const MOVES = ['knob', 'row-touch'];
const isMove = (press: DrillPress): press is ListPress => MOVES.includes(press.kind);

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
        ? reduceListen(state, press, PRACTICE_TITLES, profile)
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
