/**
 * A track's tags as an ID3v2.3 tag and as a RIFF INFO list. https://id3.org/id3v2.3.0 ; "Multimedia Programming
 * Interface and Data Specifications 1.0" (IBM, Microsoft 1991), chapter 2. Version 2.3 because old readers know no
 * other (common practice, no source).
 */
import { oneLine } from '../../shared/exchange/names.ts';
import type { TrackTags } from '../../shared/tags.ts';
import { latin1, le32, utf8 } from '../write/fields.ts';
import { frameOf, newTag, tagBytes, type Id3Frame } from '../write/id3/tag.ts';
import { textBytes } from '../write/id3/text.ts';
import { joinBytes } from '../write/parts.ts';

const VERSION = 3;
const FRONT_COVER = 3;
const ZERO = new Uint8Array(1);
/** A cover larger than this is left out: it costs a deck more time to load than it is worth (estimate). */
const MOST_COVER_BYTES = 4 * 1024 * 1024;

type Field = Exclude<keyof TrackTags, 'cover'>;

/** Frame and INFO chunk of each field, and its name for the report. */
const FIELDS: readonly { field: Field; frame: string; info: string | null; name: string }[] = [
  { field: 'title', frame: 'TIT2', info: 'INAM', name: 'title' },
  { field: 'artist', frame: 'TPE1', info: 'IART', name: 'artist' },
  { field: 'album', frame: 'TALB', info: 'IPRD', name: 'album' },
  { field: 'genre', frame: 'TCON', info: 'IGNR', name: 'genre' },
  { field: 'year', frame: 'TYER', info: 'ICRD', name: 'year' },
  { field: 'comment', frame: 'COMM', info: 'ICMT', name: 'comment' },
  { field: 'key', frame: 'TKEY', info: null, name: 'key' },
  { field: 'bpm', frame: 'TBPM', info: null, name: 'tempo' },
  { field: 'isrc', frame: 'TSRC', info: null, name: 'ISRC' },
];

const textOf = (tags: TrackTags, field: Field): string => {
  const value = tags[field];
  return value === null ? '' : oneLine(String(value));
};

const coverFits = (tags: TrackTags) => tags.cover !== null && tags.cover.bytes.length <= MOST_COVER_BYTES;

function frames(tags: TrackTags): Id3Frame[] {
  const found: Id3Frame[] = [];
  const add = (id: string, body: Uint8Array) => found.push({ id, raw: frameOf(id, body, VERSION) });
  for (const { field, frame } of FIELDS) {
    const text = textOf(tags, field);
    if (text === '') continue;
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
export function id3Of(tags: TrackTags, name: string): Uint8Array<ArrayBuffer> {
  return tagBytes({ ...newTag(), frames: frames(tags) }, name);
}

/** A chunk `LIST INFO`. Text as UTF-8, which is what readers try first (common practice, no source). */
export function infoOf(tags: TrackTags): Uint8Array<ArrayBuffer> {
  const entries = FIELDS.flatMap(({ field, info }) => {
    const text = textOf(tags, field);
    if (info === null || text === '') return [];
    const body = joinBytes([utf8(text), ZERO]);
    return [latin1(info), le32(body.length), body, new Uint8Array(body.length & 1)];
  });
  const body = joinBytes([latin1('INFO'), ...entries]);
  return joinBytes([latin1('LIST'), le32(body.length), body]);
}

/** What of the tags stands in the copy, for the report. */
export function carriedTags(tags: TrackTags): { tags: string[]; cover: boolean } {
  return {
    tags: FIELDS.filter(({ field }) => textOf(tags, field) !== '').map(({ name }) => name),
    cover: coverFits(tags),
  };
}
