/** Every sentence and label of the take-along screen and of what it writes as text, in one place. */
import type { SourceFormat } from '../../../shared/analysis.ts';
import type { CopyReport, CopyWish } from '../../../workers/copy/types.ts';
import { byteSize } from '../../library/sentences.ts';

const kHz = (rate: number) => `${Number((rate / 1000).toFixed(2))} kHz`;
const db = (value: number) =>
  Number.isFinite(value) ? `${value.toFixed(1).replace('-', '−')} dB` : 'silence';
const plural = (n: number, one: string, many = `${one}s`) => `${n} ${n === 1 ? one : many}`;

export const wishText = ({ container, depth, rate }: CopyWish): string =>
  `${container.toUpperCase()}, ${depth} bit, ${kHz(rate)}`;

export function sourceText({ container, codec, bitDepth, sampleRate, bitrate }: SourceFormat): string {
  const what =
    codec === 'pcm' || codec === container
      ? container.toUpperCase()
      : `${codec.toUpperCase()} in ${container.toUpperCase()}`;
  const size = bitDepth ? `${bitDepth} bit` : bitrate ? `${Math.round(bitrate / 1000)} kbit/s` : '';
  return [what, size, kHz(sampleRate)].filter(Boolean).join(', ');
}

const kinds: Record<CopyReport['kind'], string> = {
  unchanged: 'the original’s samples and bytes',
  exact: 'the same samples in another form',
  converted: 'new samples',
};

/** What became of one file, in one line each. */
export function reportLines({
  before,
  after,
  kind,
  resampled,
  gainDb,
  dithered,
  carried,
  notes,
}: CopyReport) {
  const done = [
    kinds[kind],
    resampled && 'resampled',
    gainDb < 0 && `turned down by ${db(-gainDb)}`,
    dithered && 'dithered',
  ];
  const carriedText = [
    carried.tags.length > 0 && `tags (${carried.tags.join(', ')})`,
    carried.cover && 'cover',
    carried.markers > 0 && plural(carried.markers, 'marker'),
  ].filter(Boolean);
  return {
    before: `${sourceText(before.format)}, ${byteSize(before.bytes)}, true peak ${db(before.truePeakDb)}`,
    after: `${wishText(after)}, ${byteSize(after.bytes)}, true peak ${db(after.truePeakDb)}`,
    done: done.filter(Boolean).join(', '),
    carried: carriedText.length ? carriedText.join(', ') : 'nothing to carry over',
    notes,
  };
}

export const words = {
  title: 'Take along',
  intro:
    'A folder for the drive: the music in the order of the set, copies where a deck cannot load the file, a playlist, the card, and your markers as files.',
  decksRead:
    'A deck reads the music files, and most read the playlist. It does not read the marker files or the card: decks keep databases of their own, which their own software writes. Marker files are for people and for other software. Your originals stay as they are.',
  empty: 'The set has no tracks yet, so there is nothing to take along.',
  form: 'Form of copies',
  safest: 'Safest for this booth',
  level: 'Turn copies down where peaks would be cut off',
  withCards: 'Card for paper and phone',
  withMarkers: 'Marker files (JSON and WebVTT)',
  tracks: 'Tracks',
  track: 'Track',
  file: 'File',
  loads: 'In this booth',
  goes: 'What goes along',
  goesOf: (title: string) => `What goes along of ${title}`,
  renamed: (title: string) => `To be called “${title}” there: only a copy can have another title.`,
  everyDeck: 'Every deck loads it',
  noDeck: 'No deck of the booth is known, so nothing can be said.',
  onDecks: (decks: string, sentence: string) => `${decks}: ${sentence}`,
  carriage: {
    'as-is': 'The file as it is',
    copy: (form: string) => `A copy: ${form}`,
    'leave-out': 'Nothing',
  },
  notHere: 'Not in the library: it does not go along.',
  fileMissing: 'Its file is not here. Give the file again in the library, then it can go along.',
  formFault: (sentence: string) => `The chosen form does not suit every deck. ${sentence}`,
  summary: (files: number, copies: number, bytes: number) =>
    `${plural(files, 'track')}, ${plural(copies, 'copy', 'copies')} to be made; the originals are ${byteSize(bytes)}.`,
  left: (count: number) => `${plural(count, 'track')} of the set will not go along.`,
  zip: 'Make a zip',
  folder: 'Write into a folder…',
  noFolder: 'This browser cannot write into a folder; the zip holds the same.',
  noZip: 'This browser cannot keep a file that it is writing, so no zip can be made: take a newer browser.',
  cancel: 'Stop',
  nothingChosen: 'Every track is left out, so there is nothing to write.',
  stay: 'Stay on this page until it is done. What is stopped half way is removed again.',
  writing: (path: string, done: number, files: number) =>
    `Writing ${path} (${Math.min(done + 1, files)} of ${files})`,
  checking: (path: string) => `Reading back ${path}`,
  preparing: 'Preparing…',
  stopping: 'Stopping, and removing what was written…',
  progress: 'Progress',
  doneFolder: (folder: string, files: number, bytes: number) =>
    `Written and read back: ${plural(files, 'file')}, ${byteSize(bytes)}, in the folder “${folder}”. Eject the drive properly before you pull it.`,
  doneZip: (name: string, files: number, bytes: number) =>
    `“${name}” was handed to the browser’s downloads: ${plural(files, 'file')}, ${byteSize(bytes)}, each read back from the zip before that. Unpack it onto the drive; SHA256SUMS.txt in it tells whether all arrived.`,
  written: 'What was written',
  path: 'File',
  size: 'Size',
  checksum: 'SHA-256',
  copies: 'Copies, before and after',
  before: 'Before',
  after: 'After',
  what: 'What was done',
  carried: 'Carried over',
  noAudio: (name: string) =>
    `The file of “${name}” could not be had any more: give it again in the library, or leave the track out.`,
  folderName: (set: string, booth: string) => `${set} at ${booth}`,

  musicFolder: 'Music',
  markersFolder: 'Markers',
  cardName: 'Booth card.html',
  phoneCardName: 'Booth card for the phone.html',
  readMeName: 'READ ME.txt',
  copiesName: 'Copies.txt',
} as const;

/** The text that stands in the folder. */
export function readMe(
  set: string,
  booth: string,
  what: { cards: boolean; markers: boolean; copies: boolean },
) {
  const lines = [
    `${set}, for ${booth}.`,
    '',
    `${words.musicFolder}/: the tracks, numbered in the order of the set.`,
    'The file that ends in .m3u8: the set as a playlist. Its paths are relative: keep it beside the folder Music.',
    what.cards && `${words.cardName}, ${words.phoneCardName}: the set on a card. Open them in any browser.`,
    what.markers && `${words.markersFolder}/: your cues, marks and loops, as JSON and as WebVTT.`,
    what.copies && `${words.copiesName}: what was changed in the copies.`,
    'SHA256SUMS.txt: checksums; “sha256sum -c SHA256SUMS.txt” tells whether every file is whole.',
    '',
    words.decksRead,
  ];
  return lines.filter((line) => line !== false).join('\n') + '\n';
}

/** The reports of all copies as a text. */
export const copiesText = (reports: readonly { path: string; report: CopyReport }[]): string =>
  reports
    .map(({ path, report }) => {
      const lines = reportLines(report);
      return [
        path,
        `  ${words.before}: ${report.name}, ${lines.before}`,
        `  ${words.after}: ${lines.after}`,
        `  ${words.what}: ${lines.done}`,
        `  ${words.carried}: ${lines.carried}`,
        ...lines.notes.map((note) => `  ${note}`),
        '',
      ].join('\n');
    })
    .join('\n');
