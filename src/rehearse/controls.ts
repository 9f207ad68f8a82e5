/** The controls of a rehearsal deck in the order of the task; what the profile does not have is not among them. */
import { isRelease, type Press, type PressKind, pressesOf } from '../../shared/behaviour/press.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { type Control as DrillControl, keysFor } from '../train/hands/controls.ts';
import type { TaskStep } from './steps.ts';
import { controlWords } from './words.ts';

export interface Control extends Omit<DrillControl, 'group' | 'press' | 'release'> {
  press: Press;
  release: Press | null;
  step: TaskStep;
}

/** Where a control stands and in which order; what is missing here is no button (faders, strips, what the world does). */
const PLACES: readonly (readonly [step: TaskStep, kinds: readonly PressKind[]])[] = [
  ['find', ['recall', 'bank', 'hot-cue', 'search']],
  [
    'start',
    [
      'play',
      'cue',
      'sync',
      'bend',
      'tempo-range',
      'quantise',
      'quantise-step',
      'menu',
      'menu-turn',
      'menu-choose',
    ],
  ],
  ['hold', ['loop-hold', 'loop-length', 'loop-halve', 'loop-double', 'loop-in', 'loop-out', 'loop-reenter']],
  [
    'leave',
    [
      'loop-exit',
      'jump-page',
      'beat-jump',
      'jump-shorter',
      'jump-longer',
      'screen-jump',
      'slip',
      'slip-reverse',
      'plug-drive',
    ],
  ],
];
const ORDER = PLACES.flatMap(([, kinds]) => kinds);
const stepOf = (kind: PressKind): TaskStep | null =>
  PLACES.find(([, kinds]) => kinds.includes(kind))?.[0] ?? null;

/** What letting go of a control presses. */
function releaseOf(press: Press): Press | null {
  switch (press.kind) {
    case 'cue':
      return { kind: 'cue-release' };
    case 'hot-cue':
      return { kind: 'hot-cue-release', button: press.button };
    case 'loop-hold':
      return { kind: 'loop-hold-release' };
    case 'slip-reverse':
      return { kind: 'slip-reverse-release' };
    case 'search':
      return { kind: 'search-release' };
    case 'bend':
      return { kind: 'bend-release' };
    default:
      return null;
  }
}

const KEYS: Partial<Record<PressKind, string>> = {
  play: 'p',
  cue: 'c',
  recall: 'r',
  sync: 'y',
  'tempo-range': 't',
  quantise: 'q',
  'quantise-step': 'w',
  menu: 'm',
  'menu-choose': 'n',
  'loop-in': 'i',
  'loop-out': 'o',
  'loop-hold': 'l',
  'loop-halve': 'h',
  'loop-double': 'd',
  'loop-exit': 'e',
  'loop-reenter': 'f',
  'jump-page': 'j',
  'jump-longer': ']',
  'jump-shorter': '[',
  slip: 's',
  'slip-reverse': 'v',
  'plug-drive': 'u',
};
const PAIRS: Partial<Record<PressKind, readonly [back: string, on: string]>> = {
  search: ['arrowleft', 'arrowright'],
  bend: ['-', '='],
  'beat-jump': [',', '.'],
  'menu-turn': ['arrowup', 'arrowdown'],
};
/** Keys of lengths of loops, shortest first, and of banks: none that a cue's number has. */
const LENGTH_KEYS = ['a', 'b', 'g', 'k', 'z'];

function wantedKey(press: Press, profile: DeckProfile): string {
  switch (press.kind) {
    case 'hot-cue':
      return press.button < 10 ? String(press.button) : '';
    case 'loop-length':
      return LENGTH_KEYS[profile.loops.direct.indexOf(press.beats)] ?? '';
    case 'search':
    case 'beat-jump':
      return PAIRS[press.kind]?.[press.direction > 0 ? 1 : 0] ?? '';
    case 'bend':
      return PAIRS.bend?.[press.amount > 0 ? 1 : 0] ?? '';
    case 'menu-turn':
      return PAIRS['menu-turn']?.[press.by > 0 ? 1 : 0] ?? '';
    default:
      return KEYS[press.kind] ?? '';
  }
}

/** Key that puts the hands on the other deck. */
export const OTHER_DECK_KEY = 'x';
/** Key that makes the next cue button clear its cue. */
export const CLEAR_KEY = 'delete';

/** Faders stand in the list of presses at their ends and middle; a bend at rest is letting go. */
const isButton = (press: Press): boolean =>
  stepOf(press.kind) !== null && !isRelease(press) && !(press.kind === 'bend' && press.amount === 0);

const idOf = (press: Press): string => Object.values(press).join(' ');

/** Every button of the deck, with a key of its own as long as there are keys. */
export function controlsOf(profile: DeckProfile): Control[] {
  const presses = pressesOf(profile)
    .filter(isButton)
    .sort((a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind));
  const keys = keysFor(
    presses.map((press) => wantedKey(press, profile)),
    [OTHER_DECK_KEY],
  );
  return presses.map((press, i) => ({
    id: idOf(press),
    press,
    release: releaseOf(press),
    repeats: press.kind === 'menu-turn',
    label: controlWords(press, profile),
    key: keys[i],
    step: stepOf(press.kind)!,
  }));
}
