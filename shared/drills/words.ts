/** The words of the drills, in one place and ready to translate. */
import { minutesOf } from '../exchange/clock.ts';
import type { ContrastLayer } from '../survival/contrast.ts';
import type { ChoiceWord, ConfirmWord, Doubt, DrillKind, Grade, Question, SectionKind } from './types.ts';

export const drillWords: Record<DrillKind, string> = {
  'find-drop': 'Find the drop',
  'find-breakdown': 'Find the breakdown',
  'find-first-kick': 'Find the first kick',
  'find-mix-out': 'Find the mix-out point',
  'bars-to-change': 'Bars to the next change',
  'heard-strip': 'Which track is this?',
  'same-on-rich': 'The same track, richly drawn',
  'bass-here': 'Bass in or out',
  'phase-compare': 'Together, ahead or behind',
  'read-time': 'Read the time',
  'energy-clash': 'Which energy clashes',
  'own-size': 'Small as it is there',
};

export const sectionWords: Record<SectionKind, string> = {
  intro: 'intro',
  build: 'build',
  drop: 'drop',
  breakdown: 'breakdown',
  outro: 'outro',
  other: 'other parts',
};

export const choiceWords: Record<ChoiceWord, string> = {
  out: 'Out',
  in: 'In',
  behind: 'Behind',
  together: 'Together',
  ahead: 'Ahead',
};

export const gradeWords: Record<Grade, string> = { 1: 'again', 2: 'hard', 3: 'good', 4: 'easy' };

export const doubtQuestions: Record<Doubt, string> = {
  grid: 'Do the lines stand on the beats, one line to a beat?',
  downbeat: 'Do the strong lines stand on the first beat of each bar?',
  sections: 'Do the sections of this track begin and end where you hear them?',
};

export const confirmWords: Record<ConfirmWord, string> = {
  right: 'Yes, it is right',
  half: 'There are twice too many lines',
  double: 'There are half too few lines',
  'beat-later': 'Bars start one beat later',
  'two-beats-later': 'Bars start two beats later',
  'beat-earlier': 'Bars start one beat earlier',
  'by-hand': 'Let me correct it by hand',
  'leave-out': 'Leave this track out of the drills',
};

const ORDINALS = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth'];
const ordinal = (n: number): string => ORDINALS[n - 1] ?? `number ${n}`;
/** `the drop`, or `the second of 3 drops` */
const oneOf = (name: string, { nth, of }: Record<string, number>): string =>
  of > 1 ? `the ${ordinal(nth)} of ${of} ${name}s` : `the ${name}`;

/** The question as a sentence. */
export function questionSentence({ key, params }: Question): string {
  switch (key) {
    case 'find-drop':
      return `Point at the start of ${oneOf('drop', params)}.`;
    case 'find-breakdown':
      return `Point at the start of ${oneOf('breakdown', params)}.`;
    case 'find-first-kick':
      return 'Point at the first kick.';
    case 'find-mix-out':
      return 'Point at the place where you can start to mix out.';
    case 'bars-to-change':
      return 'How many bars are there from the playhead to the next change?';
    case 'heard-strip':
      return 'Which of these strips is what you hear?';
    case 'same-on-rich':
      return 'Which of these shows the same music as the strip above?';
    case 'bass-here':
      return 'Is the bass in or out under the playhead?';
    case 'phase-compare':
      return 'Is the other deck behind this one, together with it, or ahead of it?';
    case 'own-size':
      return `Point at the start of ${oneOf(params.drop ? 'drop' : 'breakdown', params)}, at the size of this deck’s screen.`;
    case 'read-time':
      return 'Which time is it at the mark?';
    case 'energy-clash':
      return 'You are at the mark above. Which track, brought in at its mark, is far louder or quieter than this one?';
  }
}

const layerWords: Record<ContrastLayer, string> = {
  bass: 'the bass',
  middle: 'the middle band',
  treble: 'the treble',
  height: 'the height',
  shade: 'the shade',
};

/** What is found at a place. `delta` is above 0 where the layer rises. */
export interface Sight {
  layer: ContrastLayer;
  delta: number;
}

/** A measured contrast, 0 to 1. */
const size = (value: number): string => `contrast ${Math.abs(value).toFixed(2)}`;
const moves = ({ layer, delta }: Sight): string => {
  if (layer === 'shade') return `the shade turns to ${delta < 0 ? 'bass' : 'treble'}`;
  return `${layerWords[layer]} ${delta < 0 ? 'falls' : 'rises'}`;
};

/** Where a change is, with what shows it on either display; `here` null: nothing is seen to change on this one. */
export function changeSentence(what: string, here: Sight | null, rich: Sight | null): string {
  if (here) return `${what}: on this display ${moves(here)} there (${size(here.delta)}).`;
  if (rich) {
    const there = `on the richest ${moves(rich)} (${size(rich.delta)})`;
    return `${what}: this display hardly shows it, while ${there}; here a mark or counting must do.`;
  }
  return `${what}: no display shows a plain change there, so only counting or a mark tells.`;
}

/** What tells the right strip from another. @param chosen the other is the one that was taken, else the nearest */
export function unlikeSentence(here: Sight | null, rich: Sight | null, chosen: boolean): string {
  const other = chosen ? 'the one you took' : 'the strip nearest to it';
  const more = ({ layer, delta }: Sight) => `${stands(layer)} ${heightOf(layer, delta)} than in ${other}`;
  if (here) return `What gives it away: ${more(here)} (${size(here.delta)}).`;
  if (rich)
    return `On this display it is hard to tell apart; on the richest ${more(rich)} (${size(rich.delta)}).`;
  return `Only the order of things sets it apart from ${other}, not how much there is of anything.`;
}

const stands = (layer: ContrastLayer): string =>
  layer === 'shade' ? 'its shade lies' : `${layerWords[layer]} stands`;
const heightOf = (layer: ContrastLayer, delta: number): string =>
  layer === 'shade' ? `nearer to ${delta < 0 ? 'bass' : 'treble'}` : delta < 0 ? 'lower' : 'higher';

export function clashSentence(db: number, here: Sight | null): string {
  const what = `It comes in ${Math.abs(db).toFixed(0)} dB ${db < 0 ? 'quieter' : 'louder'} than what plays`;
  if (!here) return `${what}, which this display hardly shows: trust your ears.`;
  return `${what}: after its mark ${stands(here.layer)} ${heightOf(here.layer, here.delta)} (${size(here.delta)}).`;
}

export const dropSentence = (key: DrillKind, time: number): string => {
  const names: Partial<Record<DrillKind, string>> = {
    'find-drop': 'The drop starts',
    'find-breakdown': 'The breakdown starts',
    'find-first-kick': 'The first kick comes',
    'find-mix-out': 'The way out starts',
    'own-size': 'It starts',
  };
  return `${names[key] ?? 'The change comes'} at ${minutesOf(time)}`;
};

export const barsSentence = (bars: number): string =>
  `The change comes after ${bars} ${bars === 1 ? 'bar' : 'bars'}`;

export const bassSentence = (isIn: boolean): string =>
  `The bass is ${isIn ? 'in' : 'out'}, against the nearest place where it is ${isIn ? 'out' : 'in'}`;

export const timeSentence = (time: number, columnSeconds: number): string =>
  `The mark is at ${minutesOf(time)}; one column of this overview is ${columnSeconds.toFixed(1)} s, so nobody reads it finer.`;

/** `1/8`; small parts no more exactly than anybody sees them: `1/50`. */
function part(value: number): string {
  const parts = Math.round(1 / value);
  return `1/${parts > 20 ? Math.round(parts / 10) * 10 : parts}`;
}

export function phaseSentence(beats: number, leastHere: number, leastRich: number): string {
  const finest = `this read-out shows ${part(leastHere)} of a beat at the finest, the richest ${part(leastRich)}`;
  if (beats === 0) return `Both are together; ${finest}.`;
  const word = beats > 0 ? 'ahead' : 'behind';
  return `The other deck is ${part(Math.abs(beats))} of a beat ${word}; ${finest}.`;
}
