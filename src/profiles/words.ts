/** Sentences and labels of the profile list and editor, in one place and ready to translate. */
import type { Provenance } from '../../shared/profile/schema.ts';

const provenances: Record<Provenance, string> = {
  'common practice, no source': 'Common practice, no source',
  'from memory': 'From memory',
  estimate: 'Estimate',
};

export const profileWords = {
  provenances,

  listTitle: 'Decks',
  listHint:
    'A profile says what one generation of decks shows and can do. Those that come with Boothproof stay as they are; duplicate one to make it your own.',
  shipped: 'Comes with Boothproof',
  own: 'Yours',
  duplicate: 'Duplicate',
  edit: 'Edit',
  save: 'Save to a file',
  delete: 'Delete',
  about: (action: string, name: string): string => `${action}: ${name}`,
  facts: 'All facts, and where they come from',
  factColumn: 'Fact',
  valueColumn: 'Value',
  fromColumn: 'Where it comes from',
  load: 'Load profiles from files…',
  loaded: (name: string): string => `“${name}” is loaded.`,
  loadedAs: (name: string, as: string): string =>
    `A deck of the id of “${name}” was there already, so it is loaded as “${as}”.`,
  tooBig: (fileName: string): string =>
    `${fileName}: is far larger than any deck profile; choose a JSON file that was saved here.`,
  unreadable: (fileName: string): string => `${fileName}: could not be read from the disk; choose it again.`,
  duplicated: (name: string): string => `“${name}” is made. Change what differs.`,
  saved: (name: string): string => `“${name}” is saved.`,
  deleted: (name: string): string => `“${name}” is deleted.`,
  discarded: (name: string): string => `The changes to “${name}” are discarded.`,
  undo: 'Undo',
  bringBack: 'Bring back',
  dismiss: 'Dismiss',

  yes: 'Yes',
  no: 'No',
  nothing: 'none',
  between: (min: number, max: number): string => `${min} to ${max}`,

  editing: (name: string): string => `Edit ${name}`,
  general: 'In general',
  name: 'Name',
  era: 'Rough era in words',
  description: 'Description for a person who has never met such a deck',
  richness: 'Place on the ladder (larger is richer)',
  from: 'Where it comes from',
  note: 'Note',
  addNote: 'Add a note',
  listOfNumbers: 'numbers with commas between them',
  earlier: (choice: string): string => `Move ${choice} forward`,
  colours: 'Colours',
  colourText: (label: string): string => `${label}, as text`,
  roles: {
    'three-band': 'Three bands',
    tint: 'Hue by tone',
    single: 'One colour',
    plain: 'Flat overview and grid lines',
  },
  advice: 'Advice on these colours; you can save all the same.',
  problems: (count: number): string =>
    count === 1 ? 'One thing is not right yet.' : `${count} things are not right yet.`,
  fine: 'Everything fits.',
  saveChanges: 'Save changes',
  discard: 'Discard changes',
  close: 'Close',
} as const;
