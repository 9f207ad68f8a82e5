/**
 * The difference sheet: you practise on this deck and will play on that one. Made from nothing but the two profiles,
 * fact by fact in the order of the schema, then sorted by how likely each is to catch one out.
 */
import { type FactField, type FactGroup, factFields } from '../../profile/facts.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import type { DifferenceKind, DrillKeys, Trap } from './trap.ts';
import { traps } from './traps.ts';

export interface Difference {
  kind: DifferenceKind;
  group: FactGroup;
  /** The fact, `group.name`. */
  key: string;
  /** The values of the two decks, as their profiles have them. */
  from: FactValue;
  to: FactValue;
  /** 0..100 */
  likelihood: number;
  /** Drills that train it, best first; empty where it is only to be tried. */
  drills: DrillKeys;
  /** It is a matter of presses, that can be tried on the rehearsal deck. */
  rehearse: boolean;
  /** What it is like on the deck that one will play on: one sentence. */
  sentence: string;
}

export type FactValue = boolean | number | string | readonly (number | string)[];

/** Values that say that there is nothing. */
const NOTHING: readonly unknown[] = [false, 0, 'none', 'nowhere'];
const isNothing = (value: FactValue): boolean =>
  Array.isArray(value) ? !value.length : NOTHING.includes(value);

/** Facts that say nothing of their own where another one says that the whole thing is not there on one of the decks. */
const UNDER: { head: string; facts: readonly string[] }[] = [
  {
    head: 'waveform.scrolling',
    facts: ['kinds', 'zoomSeconds', 'heightSteps', 'colourSteps', 'grid', 'gridPlace'].map(
      (f) => `waveform.${f}`,
    ),
  },
  { head: 'waveform.grid', facts: ['waveform.gridPlace'] },
  {
    head: 'hotCues.slots',
    facts: ['banks', 'buttons', 'colours', 'recall', 'recallPresses'].map((f) => `hotCues.${f}`),
  },
  { head: 'marks.shown', facts: ['marks.limit'] },
  { head: 'quantise.steps', facts: ['quantise.setIn', 'loops.unreliableWithQuantise'] },
  {
    head: 'loops.method',
    facts: ['direct', 'changeUnquantised', 'shortest', 'unreliableWithQuantise'].map((f) => `loops.${f}`),
  },
  { head: 'beatJump.where', facts: ['beatJump.lengths'] },
  { head: 'playback.slip', facts: ['playback.slipReverse'] },
];
/** Facts that follow from another one wherever that one differs at all. */
const FOLLOWS: Record<string, string> = {
  'hotCues.recallPresses': 'hotCues.recall',
  'overview.colourSteps': 'overview.kind',
  'waveform.colourSteps': 'waveform.kinds',
};

/** Most likely to catch one out first; of equally likely ones in the order of the schema. Equal decks: none. */
export function difference(from: DeckProfile, to: DeckProfile): Difference[] {
  const value = (deck: DeckProfile, key: string): FactValue => {
    const [group, name] = key.split('.') as [FactGroup, string];
    return (deck[group] as Record<string, FactValue>)[name];
  };
  const differs = (key: string) => !equal(value(from, key), value(to, key));
  const absent = (key: string) => isNothing(value(from, key)) || isNothing(value(to, key));
  const told = ({ group, name }: FactField): boolean => {
    const key = `${group}.${name}`;
    if (!differs(key)) return false;
    if (UNDER.some(({ head, facts }) => facts.includes(key) && absent(head))) return false;
    return !(key in FOLLOWS && differs(FOLLOWS[key]));
  };
  return factFields
    .filter(told)
    .map(({ group, name }): Difference => {
      const key = `${group}.${name}`;
      const trap = (traps[group] as Record<string, Trap<FactValue>>)[name];
      const [a, b] = [value(from, key), value(to, key)];
      const kind = kindOf(a, b, trap);
      return {
        kind,
        group,
        key,
        from: a,
        to: b,
        likelihood: trap.likely(a, b),
        drills: trap.drills,
        rehearse: PRESSED.includes(group) || PRESSED.includes(key),
        sentence: trap.words(a, b),
      };
    })
    .sort((a, b) => b.likelihood - a.likelihood);
}

/** What hands do on a deck, by ear where nothing is shown; the rest is read, or carried there. */
const PRESSED: readonly string[] = [
  ...(['phase', 'hotCues', 'quantise', 'loops', 'beatJump', 'playback'] satisfies FactGroup[]),
  'overview.touchListen',
];

function kindOf(from: FactValue, to: FactValue, trap: Trap<FactValue>): DifferenceKind {
  if (trap.quality) return 'changed';
  if (isNothing(to)) return 'gone';
  if (isNothing(from)) return 'new';
  return trap.place ? 'moved' : 'changed';
}

const equal = (a: FactValue, b: FactValue): boolean =>
  Array.isArray(a) && Array.isArray(b)
    ? a.length === b.length && a.every((item, i) => item === b[i])
    : a === b;

export const differenceKindWords: Record<DifferenceKind, string> = {
  gone: 'Gone',
  moved: 'Moved',
  changed: 'Changed',
  new: 'New',
};
