/** The controls that a drill shows on a deck: what each presses, its label, its group and its key. */
import type { AnyMachine, DrillPress } from '../../../shared/behaviour/drills/machine.ts';
import { listenPresses } from '../../../shared/behaviour/drills/listen-drill.ts';
import { hasListPress, type ListPress } from '../../../shared/behaviour/drills/list-model.ts';
import type { DeckProfile } from '../../../shared/profile/schema.ts';
import { type Group, GROUPS } from './groups.ts';
import { pressWords } from './words.ts';

export interface Control {
  /** Unique within a drill. */
  id: string;
  press: DrillPress;
  /** What letting go does; null: nothing. */
  release: DrillPress | null;
  /** Presses again and again while it is held, as a knob is turned on. */
  repeats: boolean;
  label: string;
  /** Key as `KeyboardEvent.key` in lower case; null where no key was left. */
  key: string | null;
  group: Group;
}

const GROUP_OF: Partial<Record<DrillPress['kind'], Group>> = {
  'plug-drive': 'drive',
  load: 'drive',
  play: 'drive',
  recall: 'cues',
  bank: 'cues',
  'hot-cue': 'cues',
  knob: 'list',
  'search-open': 'list',
  'list-load': 'list',
  'row-touch': 'rows',
  'load-to': 'booth',
  headphones: 'booth',
  'play-off-air': 'booth',
  'row-preview': 'heard',
  letter: 'letters',
  type: 'letters',
};

const groupOf = ({ kind }: DrillPress): Group =>
  GROUP_OF[kind] ?? (kind.startsWith('loop') ? 'loops' : 'quantise');

/** Kinds in the order of their task within a group; others follow as they come. */
const ORDER: readonly DrillPress['kind'][] = [
  'plug-drive',
  'load',
  'play',
  'recall',
  'bank',
  'hot-cue',
  'loop-in',
  'loop-out',
  'loop-hold',
  'loop-length',
  'loop-halve',
  'loop-double',
  'loop-exit',
  'search-open',
  'knob',
  'list-load',
];
const rank = ({ kind }: DrillPress): number => (ORDER.includes(kind) ? ORDER.indexOf(kind) : ORDER.length);

/** Keys of rows in the list, the next ones where a screen has more rows than digits. */
const ROW_KEYS = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '0', '-', '='];
const SPARE_KEYS = [...'abcdefghijklmnopqrstuvwxyz'];
const LETTERS = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'];

/** The key that suits a press best; where it is taken the next spare letter serves. */
function wantedKey(press: DrillPress): string {
  switch (press.kind) {
    case 'hot-cue':
      return String(press.button);
    case 'bank':
      return SPARE_KEYS[press.bank - 1];
    case 'loop-length':
      return String(press.beats);
    case 'row-touch':
      return ROW_KEYS[press.row] ?? '';
    case 'load-to':
      return press.deck === 'on-air' ? 'arrowleft' : 'arrowright';
    case 'headphones':
      return press.deck === 'on-air' ? 'n' : 'h';
    case 'letter':
    case 'type':
      return press.letter.toLowerCase();
    case 'knob':
    case 'menu-turn':
      return press.by > 0 ? 'arrowdown' : 'arrowup';
    default:
      return KEYS[press.kind] ?? '';
  }
}

const KEYS: Partial<Record<DrillPress['kind'], string>> = {
  'plug-drive': 'u',
  load: 't',
  play: 'p',
  recall: 'r',
  quantise: 'q',
  'quantise-step': 's',
  menu: 'm',
  'menu-choose': 'c',
  'loop-in': 'i',
  'loop-out': 'o',
  'loop-hold': 'l',
  'loop-halve': 'h',
  'loop-double': 'd',
  'loop-exit': 'e',
  // Letters are typed in the list, so nothing else there may be a letter.
  'search-open': '/',
  'list-load': 'arrowright',
  'play-off-air': 'p',
};

const KEY_NAMES: Record<string, string> = {
  arrowdown: '↓',
  arrowup: '↑',
  arrowright: '→',
  arrowleft: '←',
};
/** The key as it is shown on a control. */
export const keyLabel = (key: string): string => KEY_NAMES[key] ?? key.toUpperCase();

const ARIA_KEYS: Record<string, string> = {
  arrowdown: 'ArrowDown',
  arrowup: 'ArrowUp',
  arrowright: 'ArrowRight',
  arrowleft: 'ArrowLeft',
};
/** The same for `aria-keyshortcuts`. */
export const ariaKey = (key: string): string => ARIA_KEYS[key] ?? key.toUpperCase();

function idOf(press: DrillPress): string {
  if (press.kind === 'load') return 'load';
  return Object.values(press).join(' ');
}

const HELD_TO_RELEASE: Partial<Record<DrillPress['kind'], DrillPress>> = {
  'loop-hold': { kind: 'loop-hold-release' },
};

/** Presses with everything that a button needs; no key twice. */
function withKeys(presses: readonly DrillPress[], profile: DeckProfile): Control[] {
  const ordered = [...presses].sort(
    (a, b) => GROUPS.indexOf(groupOf(a)) - GROUPS.indexOf(groupOf(b)) || rank(a) - rank(b),
  );
  const keys = keysFor(ordered.map(wantedKey));
  return ordered.map((press, i) => ({
    id: idOf(press),
    press,
    release: HELD_TO_RELEASE[press.kind] ?? null,
    repeats: press.kind === 'knob',
    label: pressWords(press, profile),
    key: keys[i],
    group: groupOf(press),
  }));
}

/** A key for each wish: the wanted one where it is free, else a spare letter, null where none is left; no key twice. */
export function keysFor(wanted: readonly string[], reserved: readonly string[] = []): (string | null)[] {
  const used = new Set(reserved);
  return wanted.map((wish) => {
    const spare = () => SPARE_KEYS.find((key) => !used.has(key) && !wanted.includes(key));
    const key = (wish && !used.has(wish) ? wish : spare()) ?? null;
    if (key !== null) used.add(key);
    return key;
  });
}

/** Controls of a drill at the deck itself: the same all the time, as buttons on a deck are. */
export const deckControls = (machine: AnyMachine, profile: DeckProfile): Control[] =>
  withKeys(machine.presses(machine.start), profile);

/** Controls of the drill of listening: the list, two decks and the headphones. */
export const listenControls = (profile: DeckProfile): Control[] => withKeys(listenPresses(profile), profile);

/**
 * Controls of the drill in the list. All letters can be chosen or typed, not only those that lead to the track.
 * @param typing the search is open
 * @param rows rows that are shown now
 */
export function listControls(profile: DeckProfile, typing: boolean, rows: number): Control[] {
  const all: ListPress[] = [
    { kind: 'search-open' },
    { kind: 'knob', by: 1 },
    { kind: 'knob', by: -1 },
    { kind: 'list-load' },
    ...Array.from({ length: rows }, (_, row): ListPress => ({ kind: 'row-touch', row })),
    // An open search takes the letters; a deck with both has them on the strip while it is closed.
    ...(typing
      ? LETTERS.map((letter): ListPress => ({ kind: 'type', letter }))
      : LETTERS.map((letter): ListPress => ({ kind: 'letter', letter }))),
  ];
  return withKeys(
    all.filter((press) => hasListPress(press, profile)),
    profile,
  );
}
