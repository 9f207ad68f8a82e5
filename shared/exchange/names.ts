/** A marker's name as other programs are to show it: one line, never empty. */
import { MAX_NAME_LENGTH, type Marker } from '../markers/marker.ts';

// Control characters, line separators, and halves of surrogate pairs that stand alone.
const BREAKING = /[\p{Cc}\u2028\u2029]+/gu;
const HALVES = /\p{Cs}/gu;

/** One line of well-formed text without blanks around it. */
export const oneLine = (text: string): string => text.replace(BREAKING, ' ').replace(HALVES, '\ufffd').trim();

/** Its name, or what it is where it has none: `Cue 3`, `Loop of 8 beats`. */
export function shownName(marker: Marker): string {
  const name = oneLine(marker.name);
  if (name) return name;
  if (marker.kind === 'cue') return marker.slot === null ? 'Cue' : `Cue ${marker.slot}`;
  if (marker.kind === 'mark') return 'Mark';
  return marker.beats === null ? 'Loop' : `Loop of ${marker.beats} ${marker.beats === 1 ? 'beat' : 'beats'}`;
}

/** Cut to the longest name that a marker can have, between two characters. */
export function fitName(name: string): string {
  if (name.length <= MAX_NAME_LENGTH) return name;
  let fitting = '';
  for (const character of name) {
    if (fitting.length + character.length > MAX_NAME_LENGTH) break;
    fitting += character;
  }
  return fitting.trimEnd();
}
