/** The words of the drills in list and files, in one place and ready to translate. */
import type { ListField } from '../../gig/check/names.ts';
import { kilobytes } from '../../gig/text.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import { choiceWords } from '../../profile/words.ts';
import { fileFormatOf } from '../../survival/rules/file.ts';
import { reasonSentence } from '../../survival/words.ts';
import { list, number, plural } from '../../text.ts';
import type { LoadingKind } from './kinds.ts';
import type { FileCard, ListWay, LoadAnswer, Loading, LoadingShown, Wanted } from './types.ts';
import { WAYS } from './types.ts';

export const loadingTitles: Record<LoadingKind, string> = {
  'loads-there': 'Loads there or not',
  'row-in-list': 'The right row',
  'way-to-row': 'Quickest way in the list',
};

export const loadWords: Record<LoadAnswer, string> = {
  loads: 'It loads',
  slowly: 'It loads, but slowly',
  refused: 'It does not load',
};

export const wayWords: Record<ListWay, string> = {
  filter: 'Narrow the list by tempo',
  search: 'Type the title into the search',
  letter: 'Touch its letter on the strip, then turn',
  knob: 'Turn the knob, or touch the row, and read',
  ahead: 'No way here: it must be in a list of its own that you made at home',
};
const shortWays: Record<ListWay, string> = {
  filter: 'the filter',
  search: 'the search',
  letter: 'the strip of letters',
  knob: 'the knob',
  ahead: '',
};

export const fieldWords: Record<ListField, string> = {
  title: 'Title',
  artist: 'Artist',
  tempo: 'Tempo',
  key: 'Key',
  length: 'Length',
};

export const untold = 'The list does not tell';

const named = ({ title, artist }: { title: string; artist: string }): string =>
  artist ? `“${title}” by ${artist}` : `“${title}”`;

/** The question as a sentence. */
export function loadingQuestion(shown: LoadingShown): string {
  if (shown.drill === 'loads-there') return 'Does this file load on this deck?';
  const { wanted } = shown;
  if (shown.drill === 'way-to-row') {
    return wanted.by === 'title'
      ? `Which way leads to ${named(wanted)} in the fewest presses?`
      : wanted.by === 'tempo'
        ? `You want a track of ${wanted.tempo} beats per minute and know no title. What leads you to one?`
        : '';
  }
  switch (wanted.by) {
    case 'title':
      return `Which row is ${named(wanted)}?`;
    case 'tempo':
      return `Which row is the track of ${wanted.tempo} beats per minute?`;
    case 'key':
      return `${wanted.playing} plays. Which row goes with it by its key?`;
  }
}

const kHz = (hz: number): string => `${number(hz / 1000, 4)} kHz`;

export const formatName = ({ source }: Pick<FileCard, 'source'>): string => {
  const format = fileFormatOf(source);
  return format ? choiceWords[format] : `${source.codec} in ${source.container}`;
};

/** The facts of a file, each with its name. */
export const cardLines = (card: FileCard): { label: string; value: string }[] => {
  const { source, carrier, baggage } = card;
  const lines = [
    { label: 'File', value: formatName(card) },
    { label: 'Sample rate', value: kHz(source.sampleRate) },
  ];
  if (source.bitDepth) lines.push({ label: 'Bits per sample', value: String(source.bitDepth) });
  if (source.bitrate) lines.push({ label: 'Bit rate', value: `${Math.round(source.bitrate / 1000)} kbit/s` });
  lines.push({ label: 'Carried on', value: carrier === 'disc' ? 'a disc with files on it' : 'a drive' });
  if (baggage) {
    lines.push({ label: 'Tags and cover', value: kilobytes(baggage.metadataBytes) });
    lines.push({ label: 'Stored points', value: String(baggage.markers) });
  }
  return lines;
};

/** Why a file loads there or not: the words that the check of a set has for it. */
export function loadingSentences(
  card: FileCard,
  { answer, reasons, noSlot }: Loading,
  { media }: DeckProfile,
): string[] {
  if (answer === 'refused') {
    return [
      ...reasons.map(reasonSentence),
      ...(noSlot ? ['It is on a disc, and this deck has no slot for discs.'] : []),
      reasons.length
        ? 'Carry a copy that every deck of the booth loads: Gig makes one.'
        : 'Carry it on a drive.',
    ];
  }
  const { baggage } = card;
  const much = baggage
    ? `${kilobytes(baggage.metadataBytes)} of tags and cover and ${plural(baggage.markers, 'stored point')}`
    : '';
  if (answer === 'slowly') {
    return [`It loads, but with ${much} it takes noticeably longer here: load it early.`];
  }
  const bits = card.source.bitDepth ? ` and ${media.maxBitDepth} bits` : '';
  return [
    `${formatName(card)} plays here, up to ${kHz(media.maxSampleRate)}${bits}.`,
    ...(baggage
      ? [
          media.slowWithMetadata
            ? `${much} are too little to slow it.`
            : 'Tags, covers and stored points do not slow loading on this deck.',
        ]
      : []),
  ];
}

const ESTIMATE = 'What stands in which column is an estimate.';

function titlesSentence({ list: { titleCharacters, columns } }: DeckProfile): string {
  return `This list shows ${plural(titleCharacters, 'character')} of a title and ${
    columns > 1 ? 'the artist beside it' : 'no artist'
  }`;
}

/** Why it is that row, or why the list does not tell. @param row null: it does not */
export function rowSentences(
  wanted: Wanted,
  meant: Record<ListField, string>,
  row: number | null,
  deck: DeckProfile,
): string[] {
  switch (wanted.by) {
    case 'title':
      return row === null
        ? [
            `${titlesSentence(deck)}, and another row shows the same.`,
            'Give such tracks other names on the drive (Gig does it), or tell them apart by their place in your list.',
          ]
        : [`${titlesSentence(deck)}: no other row looks like it.`];
    case 'tempo':
      return row === null
        ? [
            `This list has ${plural(deck.list.columns, 'column')}, none for the tempo: put tracks in order at home, or the tempo into their names.`,
            ESTIMATE,
          ]
        : ['The tempo stands in a column of its own.', ESTIMATE];
    case 'key': {
      const goes = `${meant.key} goes with ${wanted.playing}: the same key, its relative, or one a fifth away.`;
      if (row === null) {
        return [
          'Nothing in this list tells a key: note at home which tracks go together.',
          `${goes}`,
          ESTIMATE,
        ];
      }
      return deck.list.keyMatch
        ? ['This deck marks the rows whose key goes with what plays.', goes]
        : [`No row is marked here, but the key stands in the list. ${goes}`, ESTIMATE];
    }
  }
}

const lacking = ({ list: has }: DeckProfile): string[] => [
  ...(has.textSearch ? [] : ['search by typing']),
  ...(has.letterStrip ? [] : ['strip of letters']),
  ...(has.trackFilter ? [] : ['filter']),
];

/** Why that way. @param presses of each way that the deck has */
export function waySentences(
  way: ListWay,
  presses: Partial<Record<ListWay, number>>,
  byName: boolean,
  deck: DeckProfile,
): string[] {
  const none = lacking(deck);
  const without = none.length ? [`On this deck there is no ${none.join(', no ')}.`] : [];
  if (byName) {
    const told = WAYS.flatMap((each) => {
      const count = presses[each];
      return count === undefined ? [] : [`${count} by ${shortWays[each]}`];
    });
    return [`Presses and steps of the knob, loading included: ${list(told)}.`, ...without];
  }
  switch (way) {
    case 'filter':
      return [
        `The list can be narrowed by tempo here: about ${plural(presses.filter ?? 0, 'press', 'presses')} (estimate), and only such tracks are left.`,
      ];
    case 'knob':
      return [
        'The list cannot be narrowed here, but the tempo stands in it: turn and read, or order the list at home.',
        ...without,
        ESTIMATE,
      ];
    default:
      return [
        'The list cannot be narrowed here, and no column shows the tempo: put such tracks into a list of their own at home.',
        ...without,
        ESTIMATE,
      ];
  }
}
