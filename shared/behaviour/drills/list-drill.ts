/** The hand drill in the list: find a track by its letter and load it. */
import type { DeckProfile } from '../../profile/schema.ts';
import { PRESS_SECONDS, TURN_SECONDS } from '../practice.ts';
import type { AnyMachine, DrillPress, Machine, Refusal } from './machine.ts';
import {
  firstOfList,
  hasListPress,
  type ListPress,
  type ListState,
  listed,
  reduceList,
} from './list-model.ts';

/** Invented titles, two words each, in order of the alphabet. */
const FIRST =
  'Amber Brass Cedar Dusk Ember Fallow Granite Harbour Iron Juniper Kiln Lantern Meadow North Ochre Paper Quarry River Salt Timber Umber Velvet Winter Yarrow Zinc'.split(
    ' ',
  );
const SECOND = 'Arcade Ferry Hours Motion Signal'.split(' ');
export const PRACTICE_TITLES: readonly string[] = FIRST.flatMap((a) => SECOND.map((b) => `${a} ${b}`));
export const PRACTICE_TITLE = 'Salt Motion';

interface State {
  list: ListState;
  /** s */
  now: number;
}

const isListPress = (press: DrillPress): press is ListPress =>
  ['knob', 'letter', 'search-open', 'type', 'row-touch', 'list-load'].includes(press.kind);

/**
 * @param titles in order of the alphabet
 * @param wanted one of them
 * @throws RangeError where it is not
 */
export function findByLetter(
  profile: DeckProfile,
  titles: readonly string[] = PRACTICE_TITLES,
  wanted: string = PRACTICE_TITLE,
): AnyMachine | Refusal {
  if (!titles.includes(wanted)) throw new RangeError(`"${wanted}" is not in the list.`);
  const letters = [...new Set(titles.map((title) => title[0].toUpperCase()))];
  const machine: Machine<State> = {
    start: { list: firstOfList, now: 0 },
    presses: ({ list }) => optionsIn(list, titles, wanted, letters, profile),
    waits: () => [],
    now: ({ now }) => now,
    passTo: (state, now) => ({ ...state, now }),
    press: (state, press) =>
      isListPress(press) ? { ...state, list: reduceList(state.list, press, titles, profile) } : state,
    done: ({ list }) => list.loaded === wanted,
    failed: ({ list }) => list.loaded !== null && list.loaded !== wanted,
    error: () => null,
    key: ({ list }) => JSON.stringify(list),
    hand: ({ kind }) => (kind === 'knob' ? TURN_SECONDS : PRESS_SECONDS),
    most: titles.length + 8,
  };
  return machine;
}

function optionsIn(
  list: ListState,
  titles: readonly string[],
  wanted: string,
  letters: readonly string[],
  profile: DeckProfile,
): ListPress[] {
  const rows = listed(titles, list);
  const all: ListPress[] = [
    { kind: 'knob', by: 1 },
    { kind: 'knob', by: -1 },
    ...letters.map((letter) => ({ kind: 'letter' as const, letter })),
    { kind: 'search-open' },
    { kind: 'list-load' },
    ...Array.from({ length: profile.list.rows }, (_, row) => ({ kind: 'row-touch' as const, row })),
  ];
  // Any other letter typed would only hide the track.
  const next = list.query === null ? undefined : wanted.toUpperCase()[list.query.length];
  if (next && rows.length > 1) all.push({ kind: 'type', letter: next });
  return all.filter((press) => hasListPress(press, profile));
}
