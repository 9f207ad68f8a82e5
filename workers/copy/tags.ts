/**
 * A track's tags as an ID3v2.3 tag and as a RIFF INFO list. https://id3.org/id3v2.3.0 ; "Multimedia Programming
 * Interface and Data Specifications 1.0" (IBM, Microsoft 1991), chapter 2. Version 2.3 because old readers know no
 * other (common practice, no source).
 */
import { oneLine } from '../../shared/exchange/names.ts';
import type { AllTags, FurtherTags } from '../decode/tags.ts';
import { latin1, le32, utf8 } from '../write/fields.ts';
import { frameOf, newTag, tagBytes, type Id3Frame } from '../write/id3/tag.ts';
import { textBytes } from '../write/id3/text.ts';
import { joinBytes } from '../write/parts.ts';

const VERSION = 3;
const FRONT_COVER = 3;
const ZERO = new Uint8Array(1);
/** A cover larger than this is left out: it costs a deck more time to load than it is worth (estimate). */
export const MOST_COVER_BYTES = 4 * 1024 * 1024;

/** What is written into a copy: the file's tags, and how large a cover may be. */
export type CopiedTags = Omit<AllTags, 'left'> & { mostCoverBytes: number };

interface Field {
  of: (tags: CopiedTags) => string | number | null;
  frame: string;
  info: string | null;
  /** For the report. */
  name: string;
}

const further =
  (key: keyof FurtherTags) =>
  ({ further }: CopiedTags) =>
    further[key];

/** Frame and INFO chunk of each field, and its name for the report. `TXXX:…`: a text with a description. */
const FIELDS: readonly Field[] = [
  { of: ({ title }) => title, frame: 'TIT2', info: 'INAM', name: 'title' },
  { of: ({ artist }) => artist, frame: 'TPE1', info: 'IART', name: 'artist' },
  { of: ({ album }) => album, frame: 'TALB', info: 'IPRD', name: 'album' },
  { of: ({ genre }) => genre, frame: 'TCON', info: 'IGNR', name: 'genre' },
  { of: ({ year }) => year, frame: 'TYER', info: 'ICRD', name: 'year' },
  { of: ({ comment }) => comment, frame: 'COMM', info: 'ICMT', name: 'comment' },
  { of: ({ key }) => key, frame: 'TKEY', info: null, name: 'key' },
  { of: ({ bpm }) => bpm, frame: 'TBPM', info: null, name: 'tempo' },
  { of: ({ isrc }) => isrc, frame: 'TSRC', info: null, name: 'ISRC' },
  { of: further('albumArtist'), frame: 'TPE2', info: null, name: 'album artist' },
  { of: further('composer'), frame: 'TCOM', info: null, name: 'composer' },
  { of: further('lyricist'), frame: 'TEXT', info: null, name: 'lyricist' },
  { of: further('conductor'), frame: 'TPE3', info: null, name: 'conductor' },
  { of: further('remixer'), frame: 'TPE4', info: null, name: 'remixer' },
  { of: further('label'), frame: 'TPUB', info: null, name: 'label' },
  { of: further('catalogueNumber'), frame: 'TXXX:CATALOGNUMBER', info: null, name: 'catalogue number' },
  { of: further('copyright'), frame: 'TCOP', info: 'ICOP', name: 'copyright' },
  { of: further('grouping'), frame: 'TIT1', info: null, name: 'grouping' },
  { of: further('subtitle'), frame: 'TIT3', info: null, name: 'subtitle' },
  { of: further('mood'), frame: 'TXXX:MOOD', info: null, name: 'mood' },
  { of: further('trackNumber'), frame: 'TRCK', info: null, name: 'track number' },
  { of: further('discNumber'), frame: 'TPOS', info: null, name: 'disc number' },
];

const textOf = (tags: CopiedTags, { of }: Field): string => {
  const value = of(tags);
  return value === null ? '' : oneLine(String(value));
};

const coverFits = ({ cover, mostCoverBytes }: CopiedTags) =>
  cover !== null && cover.bytes.length <= mostCoverBytes;

/** Description and text in one encoding, an end of its width between them (ID3v2.3, 4.2.2). */
function describedBody(description: string, text: string): Uint8Array<ArrayBuffer> {
  const body = textBytes(text, VERSION);
  if (body[0] === 0) return joinBytes([ZERO, latin1(`${description}\0`), body.subarray(1)]);
  // The description as UTF-16 with its mark; it is plain ASCII.
  const wide = Uint8Array.from([...description].flatMap((c) => [c.charCodeAt(0), 0]));
  return joinBytes([body.subarray(0, 1), latin1('\xff\xfe'), wide, latin1('\0\0'), body.subarray(1)]);
}

function frames(tags: CopiedTags): Id3Frame[] {
  const found: Id3Frame[] = [];
  const add = (id: string, body: Uint8Array) => found.push({ id, raw: frameOf(id, body, VERSION) });
  for (const field of FIELDS) {
    const text = textOf(tags, field);
    if (text === '') continue;
    const [frame, description] = field.frame.split(':');
    if (description) {
      add(frame, describedBody(description, text));
      continue;
    }
    const body = textBytes(text, VERSION);
    // COMM: encoding, language, a short description (empty, with an end of the encoding's width), then the text.
    if (frame !== 'COMM') add(frame, body);
    else if (body[0] === 0) add(frame, joinBytes([ZERO, latin1('und\0'), body.subarray(1)]));
    else add(frame, joinBytes([body.subarray(0, 1), latin1('und\xff\xfe\0\0'), body.subarray(1)]));
  }
  if (tags.cover && coverFits(tags)) {
    const head = joinBytes([ZERO, latin1(`${tags.cover.mime}\0`), Uint8Array.of(FRONT_COVER, 0)]);
    add('APIC', joinBytes([head, tags.cover.bytes]));
  }
  return found;
}

/** The tag; a title is always there. @param name of the file, for the sentence should it be too large */
export function id3Of(tags: CopiedTags, name: string): Uint8Array<ArrayBuffer> {
  return tagBytes({ ...newTag(), frames: frames(tags) }, name);
}

/** A chunk `LIST INFO`. Text as UTF-8, which is what readers try first (common practice, no source). */
export function infoOf(tags: CopiedTags): Uint8Array<ArrayBuffer> {
  const entries = FIELDS.flatMap((field) => {
    const { info } = field;
    const text = textOf(tags, field);
    if (info === null || text === '') return [];
    const body = joinBytes([utf8(text), ZERO]);
    return [latin1(info), le32(body.length), body, new Uint8Array(body.length & 1)];
  });
  const body = joinBytes([latin1('INFO'), ...entries]);
  return joinBytes([latin1('LIST'), le32(body.length), body]);
}

/** What of the tags stands in the copy, for the report. */
export function carriedTags(tags: CopiedTags): { tags: string[]; cover: boolean } {
  return {
    tags: FIELDS.filter((field) => textOf(tags, field) !== '').map(({ name }) => name),
    cover: coverFits(tags),
  };
}
