/** The words of the readiness check, in one place and ready to translate. */
import { reasonSentence, remedyLabel } from '../../survival/words.ts';
import { plural } from '../../text.ts';
import { inBeats, kilobytes } from '../text.ts';
import type { MoveFaultKey } from './features.ts';
import type { Finding, GigAdviceKey, GigFindingKey, GigRemedy, Severity } from './finding.ts';
import type { Score } from './score.ts';

type Params = Finding['params'];
const num = (p: Params, key: string): number => Number(p[key]);
const times = (p: Params): string => (num(p, 'tracks') > 1 ? ` Planned in ${p.tracks} tracks.` : '');

/** One sentence or two for each key that is not a rule of survival. */
export const findingWords: Record<GigFindingKey | MoveFaultKey, (p: Params) => string> = {
  'deck-unknown': (p) => `Nothing is known of the deck “${p.name}”, so nothing can be said about it.`,
  'not-in-library': (p) => `“${p.name}” is not in the library, so it was not checked.`,
  'file-partial': (p) =>
    p.reason === 'truncated'
      ? `The file of “${p.name}” ends too early: it is cut off.`
      : `The file of “${p.name}” is damaged.`,
  'grid-none': (p) =>
    `“${p.name}” has no grid, so beats, quantise and loops of a set length do not work with it.`,
  'grid-unsure': (p) =>
    `The grid of “${p.name}” is unsure (${p.percent} per cent): everything that goes by beats may be off.`,
  'changes-unseen': (p) =>
    num(p, 'count') === 1
      ? `The change to “${p.name}” cannot be seen, and no marker tells of it.`
      : `${p.count} changes cannot be seen, and no marker tells of them; the first is “${p.name}”.`,
  'nothing-marked': (p) =>
    `Only an overview is shown there, and nothing that is marked in “${p.name}” reaches it: ${plural(num(p, 'changes'), 'change')} without a sign.`,
  'mix-in-unreadable': (p) => `Nothing on the deck shows where “${p.name}” is to be brought in.`,
  'mix-out-unreadable': (p) => `Nothing on the deck shows where “${p.name}” is to be left.`,
  'slow-to-load': (p) =>
    `${plural(num(p, 'count'), 'track')} ${num(p, 'count') === 1 ? 'has' : 'have'} so much besides the music that loading takes noticeably longer${
      num(p, 'bytes') ? ` (“${p.name}”: ${kilobytes(num(p, 'bytes'))} of tags and covers)` : ''
    }.`,
  'names-alike': (p) => `${p.count} tracks look the same in the list: “${p.shown}”.`,
  'names-cut': (p) =>
    `${plural(num(p, 'count'), 'title')} ${num(p, 'count') === 1 ? 'is' : 'are'} cut after ${p.characters} characters.`,
  'name-characters': (p) =>
    `“${p.name}” has a character that the list may not show: ${visible(String(p.character))}.`,
  'cue-gone': (p) => `A move in “${p.name}” needs a hot cue that no longer exists.`,
  'loop-gone': (p) => `A move in “${p.name}” needs a loop that no longer exists.`,
  'no-set-loop': (p) =>
    `You plan loops of ${inBeats(num(p, 'beats'))}: no loop can be set by length.${times(p)}`,
  'no-loop-length': (p) =>
    `You plan a loop of ${inBeats(num(p, 'beats'))}: the nearest that can be set is ${inBeats(num(p, 'nearest'))}.${times(p)}`,
  'no-grid-for-loop': (p) => `You plan a loop in “${p.name}”, which has no grid to measure it by.`,
  'no-beat-jump': (p) => `You plan to jump by ${inBeats(num(p, 'beats'))}: there is no beat jump.${times(p)}`,
  'no-jump-length': (p) =>
    `You plan to jump by ${inBeats(num(p, 'beats'))}: no jumps that the deck has add up to it (the longest is ${inBeats(num(p, 'longest'))}).${times(p)}`,
  'no-grid-for-jump': (p) => `You plan a beat jump in “${p.name}”, which has no grid to jump by.`,
  'jump-in-parts': (p) =>
    `The jump by ${inBeats(num(p, 'beats'))} takes ${p.times} presses in a row.${times(p)}`,
  'jump-on-screen': (p) => `Beat jump is on a page of the screen: open it before you need it.${times(p)}`,
  'no-follow': (p) => `You plan to let a deck follow: there is no sync; match the tempo by ear.${times(p)}`,
  'not-linked': (p) => `This needs two decks that are linked, and they are not.${times(p)}`,
  'no-grid-to-follow': (p) => `“${p.name}” has no grid, so the deck cannot follow with it.`,
  'no-cues-to-set': (p) => `You plan to set cues while playing: there are no hot cues.${times(p)}`,
  'few-cues-to-set': (p) =>
    `You plan to set ${plural(num(p, 'wanted'), 'cue')} while playing: there are ${p.slots} slots.${times(p)}`,
  'cues-overwritten': (p) =>
    `Setting ${plural(num(p, 'wanted'), 'cue')} in “${p.name}” overwrites stored ones: ${
      num(p, 'free') === 0 ? 'no slot is free' : `only ${plural(num(p, 'free'), 'slot is', 'slots are')} free`
    }.`,
  'no-slip': (p) => `You plan to use slip: there is none.${times(p)}`,
  'no-slip-reverse': (p) => `You plan to play backwards in slip: there is no button for it.${times(p)}`,
  'no-copy': (p) => `You plan to take over the other deck’s track at once: that is not possible.${times(p)}`,
  'no-strip': (p) => `You plan to use a touch strip: there is none.${times(p)}`,
  'no-listen-ahead': (p) => `You plan to listen ahead by touch: that is not possible.${times(p)}`,
  'tempo-range': (p) =>
    `You plan a change of tempo by ${p.percent} per cent: the widest range is ${p.most}.${times(p)}`,
};

const severityWords: Record<Severity, string> = {
  stops: 'Stops the music',
  breaks: 'Breaks the plan',
  hampers: 'Makes it harder',
  annoys: 'Good to know',
};
export const severityWord = (severity: Severity): string => severityWords[severity];

export const gigAdviceWords: Record<GigAdviceKey, string> = {
  'tell-by-place': 'Learn which comes first in the list',
  'load-early': 'Load it a track earlier than you would at home',
  'plan-without': 'Or find another way to do it',
  'replace-file': 'Get the file again from where it came from',
  'play-by-ear': 'Count the bars; do not wait to see it',
  'widen-plan': 'Or plan a smaller change',
  practise: 'Practise it on this deck',
  'ask-linked': 'Ask the venue to link the decks, and say so under Booth',
};

/** What happens in this booth. */
export function findingSentence({ key, params, details }: Finding): string {
  if (Object.hasOwn(findingWords, key)) {
    return findingWords[key as keyof typeof findingWords](params);
  }
  const sentence = reasonSentence({ key, params });
  if (key.startsWith('file-')) return `“${params.name}”: ${sentence}`;
  const [first] = details;
  const label = first.name.charAt(0).toUpperCase() + first.name.slice(1);
  if (details.length === 1) return `${label}: ${sentence}`;
  const one = `${plural(details.length, 'marker')}${num(params, 'tracks') > 1 ? ` in ${params.tracks} tracks` : ''}`;
  return `${one}, first ${first.name}: ${sentence}`;
}

/** A few words for a button, or for what a person does. */
export function gigRemedyLabel(remedy: GigRemedy): string {
  switch (remedy.action) {
    case 'open-track':
      return 'Open the track';
    case 'add-file':
      return 'Add the file';
    case 'check-grid':
      return 'Check the grid';
    case 'mark-sections':
      return 'Put marks on the changes';
    case 'plan-slots':
      return 'Give the cues that matter most the slots';
    case 'rename':
      return 'Give another name for this drive';
    case 'drop-move':
      return 'Take it out of the plan';
    case 'answer-questions':
      return 'Answer a few questions about it';
    case 'gig-advice':
      return gigAdviceWords[remedy.key];
    default:
      return remedyLabel(remedy);
  }
}

/** What the score says, in one sentence. */
export function scoreSentence({ possible, planned, untold, share }: Score): string {
  const rest = untold ? ` Of ${untold} more nothing can be told.` : '';
  if (share === null) {
    return `No move that could be judged is planned: give mix points, or plan what you mean to do.${rest}`;
  }
  return `${possible} of ${planned} planned moves can be done on every deck of this booth.${rest}`;
}

/** A character by itself, or its number where nothing would be seen. */
function visible(character: string): string {
  const code = `U+${(character.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}`;
  return /[\p{Cc}\p{Cf}\p{Cn}\p{Co}\p{Cs}\p{Z}]/u.test(character) ? code : `${character} (${code})`;
}
