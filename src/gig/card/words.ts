/** Every sentence and label of the booth card and its controls, in one place and ready to translate. */
import type { BarBeat } from '../../../shared/gig/card/bars.ts';

export const words = {
  controls: 'How the card is made',
  paper: 'For',
  papers: { a4: 'Paper, A4', letter: 'Paper, Letter', phone: 'A phone in the dark' },
  sides: 'Layout',
  sidesOf: { one: 'One side: small, two columns', two: 'Two sides: large, one column' },
  print: 'Print, or save as PDF',
  printHint: 'Only the card is printed. The browser’s print window can save it as PDF.',
  printPhone: 'The phone’s card is for its screen: save it as a page, or choose paper to print.',
  save: 'Save as one HTML page',
  saved: (name: string) =>
    `Saved as “${name}”. It opens without a network and without Boothproof, in any browser.`,
  fits: (sides: number, wished: number) =>
    sides <= wished
      ? `About ${sides} ${sides === 1 ? 'side' : 'sides'}.`
      : `About ${sides} sides: the set is too long for ${wished === 1 ? 'one side' : 'two sides'} in a size that can be read at arm’s length.`,
  empty: 'The set has no tracks yet, so there is nothing to put on a card.',
  preview: 'The card as it will look',

  documentTitle: (set: string, booth: string) => `${set}: card for ${booth}`,
  fileName: (set: string, forPhone: boolean) => `${set} - booth card${forPhone ? ' for the phone' : ''}`,
  card: 'Booth card',
  at: (booth: string) => `at ${booth}`,
  notes: 'Notes',
  tracks: 'Tracks',
  bpm: (tempo: string) => `${tempo} bpm`,
  noTempo: 'no steady tempo',
  noKey: 'key not known',
  noLength: 'not in the library',
  mixIn: 'In',
  mixOut: 'Out',
  notPlanned: 'not planned',
  bar: ({ bar, beat }: BarBeat) => (beat === 1 ? `bar ${bar}` : `bar ${bar}, beat ${beat}`),
  cues: 'Hot cues by slot',
  slot: (slot: number) => `Slot ${slot}`,
  bank: (bank: number) => `bank ${bank}`,
  cuesBeyond: (count: number) =>
    `${count} more ${count === 1 ? 'cue has' : 'cues have'} no slot on the poorest deck.`,
  marks: 'Structure marks',
  onlyHere: 'only on this card',
  allOnlyHere: 'The deck shows none of these marks.',
  unnamed: 'mark',
  warnings: 'Warnings',
  moreWarnings: (count: number) => `and ${count} more: see the check`,
  note: 'Note',
  strip: (title: string, deck: string) => `Overview of ${title} as ${deck} shows it`,
  stripLegend: (deck: string) =>
    `Strips as ${deck} shows them, in one ink. [ in, ] out, numbers: cue slots, letters: marks; a hollow, broken mark stands on this card only.`,
  bandsLegend: 'Dark: treble. Middle tone: middle band. Light: bass.',
  toneLegend: 'The darker, the more bass.',
  decks: 'Decks',
  deck: (name: string, count: number, linked: boolean) =>
    `${count} × ${name}${count > 1 ? (linked ? ', linked' : ', not linked') : ''}`,
  noReminders: 'Nothing to watch for in particular.',
  noDecks: 'No profile of a deck in this booth is at hand, so slots and strips are left out.',
  madeBy: 'Made by Boothproof. This page needs no network.',
} as const;
