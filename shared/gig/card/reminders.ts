/** What to do on a deck, in at most five lines: made from its profile's facts, what matters most first. */
import type { DeckProfile } from '../../profile/schema.ts';
import { list, number, plural } from '../../text.ts';
import { inBeats } from '../text.ts';

export const MOST_REMINDERS = 5;
/** s */
const LONG_TRACK = 360;

/** In the order in which they matter: first what goes wrong unasked, then what is missing, then what is elsewhere. */
const REMINDERS: readonly ((deck: DeckProfile, linked: boolean) => string | null)[] = [
  ({ hotCues: h }) =>
    h.slots && h.recall === 'by-hand'
      ? `After loading: load the cues by hand (${plural(h.recallPresses, 'press', 'presses')} for three), before you touch a cue button.`
      : null,
  ({ media }) =>
    media.drivePulled === 'music-stops'
      ? `Never pull a drive that plays${media.driveLight ? ': its light is on' : '; no light tells which one does'}: the music stops.`
      : null,
  ({ playback, phase }, linked) =>
    !playback.sync || !linked
      ? `Match the tempo ${phase.readout === 'none' || !linked ? 'and the beat by ear' : 'by hand; the beat of the other deck is shown'}: ${playback.sync ? 'the decks are not linked' : 'there is no sync'}.`
      : null,
  (_, linked) => (linked ? null : 'Bring a drive for each deck: they do not share one.'),
  ({ waveform, overview }) =>
    waveform.scrolling
      ? null
      : `Go by time and count, not by sight: one column of the overview is ${number(LONG_TRACK / overview.columns)} s of a track of six minutes.`,
  ({ loops, quantise }) =>
    loops.method !== 'none' && loops.unreliableWithQuantise && quantise.steps.length
      ? `Quantise off${quantise.setIn === 'menu' ? ' (in the menu)' : ''} before you loop.`
      : null,
  ({ loops }) =>
    loops.changeUnquantised === 'snaps-to-start' && loops.method !== 'none'
      ? 'Change a loop’s length on the one: with quantise off it jumps to its start.'
      : null,
  ({ loops }) =>
    ({
      none: 'No loops by length: set start and end by hand.',
      'halving-press': `A loop begins at ${list(loops.direct.map(inBeats))}; each press halves it.`,
      'short-and-long-press': `Loop: a short press for ${inBeats(loops.direct[0] ?? 4)}, a long one for ${inBeats(loops.direct.at(-1) ?? 8)}.`,
      strip: `Loop lengths on the strip: ${list(loops.direct.map(inBeats))}.`,
      buttons: null,
    })[loops.method],
  ({ hotCues: h }) =>
    h.banks > 1 && h.slots > h.buttons
      ? `Cues from slot ${h.buttons + 1} on are on the next bank: switch it before you need them.`
      : null,
  ({ quantise }) =>
    quantise.setIn === 'menu' ? 'Quantise is in the menu: look at it before the first track.' : null,
  ({ beatJump }) =>
    beatJump.where === 'none'
      ? 'No beat jump.'
      : beatJump.where === 'screen'
        ? 'Beat jump is on a page of the screen: open it beforehand.'
        : null,
  ({ hotCues: h }) =>
    h.slots > 1 && h.colours === 'one' ? 'Cues have one colour: go by the slot on this card.' : null,
  ({ media }) =>
    media.slowWithMetadata ? 'Tracks with large covers and many points load slower: load early.' : null,
  ({ list: l }) =>
    l.letterStrip
      ? 'Find tracks by the strip of letters.'
      : l.textSearch
        ? 'Find tracks by typing.'
        : `The list shows ${plural(l.rows, 'row')}: find tracks by the knob, in the order of this card.`,
  ({ marks }) => (marks.shown ? null : 'Stored marks are not shown: they are on this card only.'),
  ({ quantise }) =>
    quantise.setIn === 'button' ? 'See whether quantise is on before the first track.' : null,
];

/** @param linked two decks or more of the booth are linked, and this is one of them */
export function remindersFor(deck: DeckProfile, linked: boolean): string[] {
  const lines: string[] = [];
  for (const reminder of REMINDERS) {
    const line = reminder(deck, linked);
    if (line) lines.push(line);
    if (lines.length === MOST_REMINDERS) break;
  }
  return lines;
}
