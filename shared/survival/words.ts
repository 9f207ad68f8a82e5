/** The words of verdicts, in one place and ready to translate: what happens on this deck, and what to do. */
import { choiceWords } from '../profile/words.ts';
import { list, number, plural } from '../text.ts';
import type { Outcome, Reason, Remedy } from './verdict.ts';

type Params = Reason['params'];

const num = (p: Params, key: string): number => Number(p[key]);
/** `235 ms`, from 1 s on `1.2 s` */
const span = (seconds: number): string => {
  const s = Math.abs(seconds);
  return s < 0.9995 ? `${Math.round(s * 1000)} ms` : `${number(s)} s`;
};
/** `1 beat`, `0.5 beats`, `1/8 beat` */
const beats = (value: number): string => {
  const n = Math.abs(value);
  const inverse = 1 / n;
  if (n < 0.5 && Math.abs(inverse - Math.round(inverse)) < 1e-6) return `1/${Math.round(inverse)} beat`;
  return n === 1 ? '1 beat' : `${number(n, n < 10 ? 2 : 3)} beats`;
};
const later = (shift: number): string => `${span(shift)} too ${shift < 0 ? 'early' : 'late'}`;
const kHz = (hz: number): string => `${number(hz / 1000, 4)} kHz`;

/** Formats that no profile has come as they are. */
const formats: Record<string, string> = choiceWords;
const inFormats = (names: unknown): string =>
  list(
    String(names)
      .split(' ')
      .map((name) => formats[name] ?? name),
  );

/** One sentence per rule: what happens on this deck. */
export const reasonWords = {
  'file-format': (p) =>
    `This deck does not load ${formats[p.format] ?? p.format} files; it plays ${inFormats(p.plays)}.`,
  'file-sample-rate': (p) =>
    `The file runs at ${kHz(num(p, 'rate'))}, and this deck loads none above ${kHz(num(p, 'most'))}.`,
  'file-bit-depth': (p) => `The file has ${p.bits} bits, and this deck loads none above ${p.most}.`,
  'no-slots': () => 'This deck has no hot cues.',
  'no-slot-yet': () => 'This cue has no slot, so no button fires it.',
  'slot-beyond': (p) =>
    `This deck has ${plural(num(p, 'slots'), 'slot')}; a cue in slot ${p.slot} is not there.`,
  'second-bank': (p) =>
    `Slot ${p.slot} is on bank ${p.bank} of this deck: ${num(p, 'bank') === 2 ? 'one press' : `${num(p, 'bank') - 1} presses`} more before it fires.`,
  'recall-by-hand': (p) =>
    `Cues do not come with the track here: until you load this one (${plural(num(p, 'presses'), 'press', 'presses')} for three cues), slot ${p.slot} fires the cue of the track before.`,
  'colours-merge': (p) =>
    `All cues have one colour here: only the order tells this one from ${p.other}, ${p.order === 'before' ? 'which comes before it' : 'which comes after it'}.`,
  'marks-not-shown': () => 'This deck does not show stored marks.',
  'marks-beyond-limit': (p) =>
    `This deck shows ${p.limit} of the ${p.marks} marks: the more important, then the earlier. The last that it shows: ${p.last}.`,
  'overview-merge': (p) =>
    `${span(num(p, 'apart'))} from ${p.other}: one column of this overview is ${span(num(p, 'column'))}, so the two are drawn as one.`,
  'overview-shift': (p) =>
    `One column of this overview is ${span(num(p, 'column'))}: this is drawn ${later(num(p, 'shift'))}${'beats' in p ? ` (${beats(num(p, 'beats'))})` : ''}.`,
  'quantise-moves-cue': (p) =>
    `With quantise on, at this deck’s finest step of ${beats(num(p, 'step'))}, a press lands ${later(num(p, 'shift'))}.`,
  'quantise-moves-loop': (p) => {
    const [start, end] = [num(p, 'startShift'), num(p, 'endShift')];
    const parts = [start && `begins ${later(start)}`, end && `ends ${later(end)}`].filter(Boolean);
    return `With quantise on, at this deck’s finest step of ${beats(num(p, 'step'))}, the loop ${parts.join(' and ')}.`;
  },
  'change-unseen': (p) =>
    `The picture hardly changes here on this deck: contrast ${num(p, 'contrast').toFixed(2)} over ${
      'bars' in p ? plural(num(p, 'bars'), 'bar') : span(num(p, 'seconds'))
    } to each side, and it takes ${num(p, 'needed').toFixed(2)} to be seen.`,
  'loop-none': () => 'This deck has no loops of a set length.',
  'loop-no-grid': () =>
    'Without a grid the deck does not know how long a beat is, so the loop has to be set by hand.',
  'loop-length': (p) =>
    `This deck cannot set a loop of ${beats(num(p, 'beats'))}; the nearest that it reaches is ${beats(num(p, 'nearest'))}.`,
  'loop-presses': (p) =>
    `This deck has no loop of ${beats(num(p, 'beats'))} at once: ${plural(num(p, 'presses'), 'more press', 'more presses')} after the nearest that it has.`,
  'loop-change-unquantised': (p) =>
    p.change === 'snaps-to-start'
      ? 'Quantise has to be off for this loop, and then a change of its length jumps to the loop’s start here.'
      : 'Quantise has to be off for this loop, and then a change of its length is unreliable here.',
  'loop-needs-quantise-off': () => 'Loops are unreliable on this deck with quantise on.',
} satisfies Record<string, (p: Params) => string>;
export type ReasonKey = keyof typeof reasonWords;

/** Short labels of what a person does, by the key of an `advice`. */
export const adviceWords = {
  'others-matter-more': 'Every cue in reach matters more: raise this one’s importance, or do without it',
  'switch-bank': 'Switch the bank before you need it',
  'load-first': 'Load the cues by hand before the track plays',
  'tell-by-slot': 'Learn these cues by slot',
  'cue-stands-there': 'The hot cue there stands for it',
  'raise-importance': 'Raise its importance',
  'leave-one-out': 'Keep only one of the two for this deck',
  'find-by-ear': 'Find the place by ear',
  'quantise-off': 'Switch quantise off first',
  'count-bars': 'Count the bars from the mark; do not wait to see it',
  'plan-without-loop': 'Plan this passage without a loop',
  'loop-by-hand': 'Set its start and end by hand',
  'set-loop-early': 'Set the length before you need it',
} as const;
export type AdviceKey = keyof typeof adviceWords;

const outcomeWords: Record<Outcome, string> = { holds: 'Holds', weakened: 'Weakened', lost: 'Lost' };

/** What happens on this deck, in one sentence. @throws RangeError for a key that no rule has */
export function reasonSentence({ key, params }: Pick<Reason, 'key' | 'params'>): string {
  if (!Object.hasOwn(reasonWords, key)) throw new RangeError(`There are no words for the reason "${key}".`);
  const sentence = (reasonWords as Record<string, (p: Params) => string>)[key](params);
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}

/** A few words for a button, or for what a person does. @throws RangeError for an unknown advice */
export function remedyLabel(remedy: Remedy): string {
  switch (remedy.action) {
    case 'take-slot':
      return `Give it slot ${remedy.slot}`;
    case 'move-to':
      return `Move it to ${clock(remedy.time)}`;
    case 'set-length':
      return `Make it ${beats(remedy.beats)} long`;
    case 'add-mark':
      return 'Put a mark here';
    case 'add-cue':
      return remedy.slot === null ? 'Put a hot cue here' : `Put a hot cue here, in slot ${remedy.slot}`;
    case 'make-copy':
      return 'Make a copy that this deck loads';
    case 'advice':
      if (!Object.hasOwn(adviceWords, remedy.key)) {
        throw new RangeError(`There are no words for the advice "${remedy.key}".`);
      }
      return adviceWords[remedy.key as AdviceKey];
  }
}

export const outcomeWord = (outcome: Outcome): string => outcomeWords[outcome];

/** `3:07.25` */
function clock(seconds: number): string {
  const hundredths = Math.round(seconds * 100);
  const rest = ((hundredths % 6000) / 100).toFixed(2).padStart(5, '0');
  return `${Math.floor(hundredths / 6000)}:${rest}`;
}
