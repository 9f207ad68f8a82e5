/** The cue sheet block of FLAC as bytes. RFC 9639, section 8.7, https://www.rfc-editor.org/rfc/rfc9639#section-8.7 */
import { u64be } from '../../decode/bytes.ts';
import { be64, latin1 } from '../fields.ts';
import { joinBytes } from '../parts.ts';

const CATALOGUE_BYTES = 128;
const ISRC_BYTES = 12;
/** Behind the bit that tells of a disc, and behind a track's two flags: reserved, all zero. */
const HEAD_RESERVED = 258;
const TRACK_RESERVED = 13;
const INDEX_RESERVED = 3;
const HEAD_BYTES = CATALOGUE_BYTES + 8 + 1 + HEAD_RESERVED + 1;
const TRACK_BYTES = 8 + 1 + ISRC_BYTES + 1 + TRACK_RESERVED + 1;
const INDEX_BYTES = 8 + 1 + INDEX_RESERVED;
const DISC = 0x80;
const NOT_AUDIO = 0x80;
const PRE_EMPHASIS = 0x40;

/** Number of the lead-out where the sheet is not that of a compact disc; there it is 170. */
export const LEAD_OUT = 255;
/** Without the lead-out. */
export const MOST_TRACKS = 254;

export interface IndexPoint {
  /** Samples from the track's offset. */
  offset: number;
  /** From 0 or 1 on. */
  number: number;
}

export interface CueSheetTrack {
  /** Samples from the start of the stream. */
  offset: number;
  /** 1 to 254, unique. */
  number: number;
  /** 12 characters, or empty: none. */
  isrc: string;
  isAudio: boolean;
  preEmphasis: boolean;
  /** At least one; of the lead-out none. */
  indexes: IndexPoint[];
}

export interface CueSheet {
  /** Media catalogue number: ASCII, at most 128 characters. */
  catalogue: string;
  /** Samples of lead-in; means something on a compact disc only. */
  leadIn: number;
  isDisc: boolean;
  /** The last one is the lead-out: where the audio ends. At least that. */
  tracks: CueSheetTrack[];
}

/** Padded with zeros at its end. */
const padded = (text: string, length: number) => {
  const bytes = new Uint8Array(length);
  bytes.set(latin1(text).subarray(0, length));
  return bytes;
};

export function cueSheetBytes({ catalogue, leadIn, isDisc, tracks }: CueSheet): Uint8Array<ArrayBuffer> {
  return joinBytes([
    padded(catalogue, CATALOGUE_BYTES),
    be64(leadIn),
    Uint8Array.of(isDisc ? DISC : 0),
    new Uint8Array(HEAD_RESERVED),
    Uint8Array.of(tracks.length),
    ...tracks.flatMap(({ offset, number, isrc, isAudio, preEmphasis, indexes }) => [
      be64(offset),
      Uint8Array.of(number),
      padded(isrc, ISRC_BYTES),
      Uint8Array.of((isAudio ? 0 : NOT_AUDIO) | (preEmphasis ? PRE_EMPHASIS : 0)),
      new Uint8Array(TRACK_RESERVED),
      Uint8Array.of(indexes.length),
      ...indexes.flatMap((index) => [
        be64(index.offset),
        Uint8Array.of(index.number),
        new Uint8Array(INDEX_RESERVED),
      ]),
    ]),
  ]);
}

/** @returns null when tracks or index points do not fit into the bytes, or there is no lead-out */
export function parseCueSheet(b: Uint8Array): CueSheet | null {
  if (b.length < HEAD_BYTES) return null;
  const text = (at: number, length: number) =>
    String.fromCharCode(...b.subarray(at, at + length)).replace(/\0+$/, '');
  let at = CATALOGUE_BYTES + 8;
  const isDisc = (b[at] & DISC) !== 0;
  const count = b[HEAD_BYTES - 1];
  at = HEAD_BYTES;
  const tracks: CueSheetTrack[] = [];
  for (let i = 0; i < count; i++) {
    if (at + TRACK_BYTES > b.length) return null;
    const offset = u64be(b, at);
    const number = b[at + 8];
    const isrc = text(at + 9, ISRC_BYTES);
    const flags = b[at + 9 + ISRC_BYTES];
    const points = b[at + TRACK_BYTES - 1];
    at += TRACK_BYTES;
    if (at + points * INDEX_BYTES > b.length) return null;
    const indexes: IndexPoint[] = [];
    for (let k = 0; k < points; k++, at += INDEX_BYTES) {
      indexes.push({ offset: u64be(b, at), number: b[at + 8] });
    }
    const isAudio = (flags & NOT_AUDIO) === 0;
    tracks.push({ offset, number, isrc, isAudio, preEmphasis: (flags & PRE_EMPHASIS) !== 0, indexes });
  }
  if (tracks.length === 0) return null;
  return { catalogue: text(0, CATALOGUE_BYTES), leadIn: u64be(b, CATALOGUE_BYTES), isDisc, tracks };
}
