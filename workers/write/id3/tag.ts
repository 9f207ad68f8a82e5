/**
 * ID3v2.3 and 2.4 tags as a list of frames, and back. https://id3.org/id3v2.3.0 and
 * https://id3.org/id3v2.4.0-structure . Frames that are not changed keep their bytes.
 */
import { ExchangeFault } from '../../../shared/exchange/types.ts';
import { u16be, u32be } from '../../decode/bytes.ts';
import { id3v2Length } from '../../decode/id3.ts';
import { be32, latin1 } from '../fields.ts';
import { joinBytes } from '../parts.ts';
import { oddTag, oldTag, tooLarge } from '../sentences.ts';
import { resynchronised, unsynchronised } from './unsynchronisation.ts';

const HEADER_BYTES = 10;
const UNSYNCHRONISED = 0x80;
const EXTENDED = 0x40;
const EXPERIMENTAL = 0x20;
const FOOTER = 0x10;
/** Of the second byte of a 2.4 frame's flags. */
const GROUPED = 0x40;
const FRAME_UNSYNCHRONISED = 0x02;
const LENGTH_GIVEN = 0x01;
/** Of the extended header of 2.4. */
const EXTENDED_UPDATE = 0x40;
const EXTENDED_CRC = 0x20;
const EXTENDED_RESTRICTIONS = 0x10;
/** Sizes have 28 bits. */
const MOST_BYTES = 2 ** 28 - 1;
/** bytes left free behind the frames, so that another program can change a little without moving the audio; common practice */
const PADDING = 1024;

export type Id3Version = 3 | 4;

export interface Id3Frame {
  id: string;
  /** Header and body as they stand in the tag (in 2.3: unsynchronisation undone). */
  raw: Uint8Array;
}

export interface Id3Tag {
  version: Id3Version;
  revision: number;
  flags: number;
  /** Of 2.4, as it is to be written again: without the checksum, which would be wrong. Empty: none. */
  extended: Uint8Array;
  frames: Id3Frame[];
  /** Of the whole tag in the file, bytes. */
  length: number;
}

export const newTag = (): Id3Tag => ({
  version: 3,
  revision: 0,
  flags: 0,
  extended: new Uint8Array(0),
  frames: [],
  length: 0,
});

const synchsafe = (b: Uint8Array, o: number) =>
  ((b[o] & 127) << 21) | ((b[o + 1] & 127) << 14) | ((b[o + 2] & 127) << 7) | (b[o + 3] & 127);

export const synchsafeBytes = (n: number) =>
  Uint8Array.of((n >> 21) & 127, (n >> 14) & 127, (n >> 7) & 127, n & 127);

/**
 * @param bytes the whole tag, from its header on
 * @param name of the file
 * @throws ExchangeFault when it is of version 2.2 or cannot be taken apart without loss
 */
export function parseTag(bytes: Uint8Array, name: string): Id3Tag {
  const length = id3v2Length(bytes, 0);
  const version = bytes[3];
  if (length === 0 || length > bytes.length) throw new ExchangeFault(oddTag(name));
  if (version === 2) throw new ExchangeFault(oldTag(name));
  if (version !== 3 && version !== 4) throw new ExchangeFault(oddTag(name));
  const flags = bytes[5];
  let body: Uint8Array = bytes.subarray(HEADER_BYTES, HEADER_BYTES + synchsafe(bytes, 6));
  if (version === 3 && flags & UNSYNCHRONISED) body = resynchronised(body);
  let at = 0;
  let extended = new Uint8Array(0);
  if (flags & EXTENDED) {
    // 2.3: the size does not count itself; it holds a checksum and the size of the padding, both to be void.
    at = version === 3 ? 4 + u32be(body, 0) : synchsafe(body, 0);
    if (at > body.length || (version === 4 && at < 6)) throw new ExchangeFault(oddTag(name));
    if (version === 4) extended = withoutChecksum(body);
  }
  const frames =
    framesFrom(body, at, version === 4 ? synchsafe : u32be) ??
    // Some writers of 2.4 count sizes as 2.3 does; they are put right, so that all frames of the copy count alike.
    (version === 4 ? (framesFrom(body, at, u32be)?.map(withSafeSize) ?? null) : null);
  if (!frames) throw new ExchangeFault(oddTag(name));
  return { version, revision: bytes[4], flags, extended, frames, length };
}

function withSafeSize({ id, raw }: Id3Frame): Id3Frame {
  const size = synchsafeBytes(raw.length - HEADER_BYTES);
  return { id, raw: joinBytes([raw.subarray(0, 4), size, raw.subarray(8)]) };
}

/** Section 3.2: size, number of flag bytes, flags, then for each flag its length and data. */
function withoutChecksum(body: Uint8Array): Uint8Array<ArrayBuffer> {
  const flags = body[5];
  let at = 6;
  const kept: number[] = [];
  for (const flag of [EXTENDED_UPDATE, EXTENDED_CRC, EXTENDED_RESTRICTIONS]) {
    if (!(flags & flag)) continue;
    const next = at + 1 + body[at];
    if (flag !== EXTENDED_CRC) kept.push(...body.subarray(at, next));
    at = next;
  }
  return joinBytes([synchsafeBytes(6 + kept.length), Uint8Array.of(1, flags & ~EXTENDED_CRC, ...kept)]);
}

/** The frames up to the padding, or null when they do not fill the body. */
export function framesFrom(
  body: Uint8Array,
  start: number,
  sizeAt: (b: Uint8Array, o: number) => number,
): Id3Frame[] | null {
  const frames: Id3Frame[] = [];
  for (let at = start; at < body.length;) {
    if (body[at] === 0) return body.subarray(at).every((x) => x === 0) ? frames : null;
    if (at + HEADER_BYTES > body.length) return null;
    const id = String.fromCharCode(...body.subarray(at, at + 4));
    const end = at + HEADER_BYTES + sizeAt(body, at + 4);
    if (!/^[A-Z0-9]{4}$/.test(id) || end > body.length) return null;
    frames.push({ id, raw: body.subarray(at, end) });
    at = end;
  }
  return frames;
}

/** What a frame holds, or null when it is compressed or encrypted. */
export function bodyOf(frame: Id3Frame, tag: Pick<Id3Tag, 'version' | 'flags'>): Uint8Array | null {
  const { raw } = frame;
  const flags = u16be(raw, 8) & 0xff;
  if (tag.version === 3) {
    // 2.3: compressed 0x80, encrypted 0x40, grouped 0x20
    return flags & 0xc0 ? null : raw.subarray(HEADER_BYTES + (flags & 0x20 ? 1 : 0));
  }
  if (flags & 0x0c) return null;
  const from = HEADER_BYTES + (flags & GROUPED ? 1 : 0) + (flags & LENGTH_GIVEN ? 4 : 0);
  const body = raw.subarray(from);
  const coded = (flags & FRAME_UNSYNCHRONISED) !== 0 || (tag.flags & UNSYNCHRONISED) !== 0;
  return coded ? resynchronised(body) : body;
}

/** Frames inside a frame (of CHAP and CTOC): their bodies, by the outer frame's rules of size. */
export function framesInside(body: Uint8Array, start: number, version: Id3Version): Id3Frame[] {
  return framesFrom(body, start, version === 4 ? synchsafe : u32be) ?? framesFrom(body, start, u32be) ?? [];
}

const sizeBytes = (n: number, version: Id3Version) => (version === 4 ? synchsafeBytes(n) : be32(n));

/** A frame without flags. */
export function frameOf(id: string, body: Uint8Array, version: Id3Version): Uint8Array<ArrayBuffer> {
  return joinBytes([latin1(id), sizeBytes(body.length, version), new Uint8Array(2), body]);
}

/** A frame as `tag` wants its frames: unsynchronised where its header says that all of them are. */
export function frameFor(tag: Id3Tag, id: string, body: Uint8Array): Id3Frame {
  if (tag.version === 3 || !(tag.flags & UNSYNCHRONISED)) return { id, raw: frameOf(id, body, tag.version) };
  const coded = joinBytes([synchsafeBytes(body.length), unsynchronised(body)]);
  const flags = Uint8Array.of(0, FRAME_UNSYNCHRONISED | LENGTH_GIVEN);
  return { id, raw: joinBytes([latin1(id), synchsafeBytes(coded.length), flags, coded]) };
}

/**
 * The tag's bytes. It keeps its length where the frames fit, so that writing again changes nothing; else it gets
 * some padding, except where a footer forbids it.
 * @throws ExchangeFault when it would be larger than a tag can be
 */
export function tagBytes(tag: Id3Tag, name: string): Uint8Array<ArrayBuffer> {
  const { version, revision, extended } = tag;
  const frames = joinBytes(tag.frames.map((f) => f.raw));
  const flags =
    (tag.flags & EXPERIMENTAL) |
    (version === 4 ? tag.flags & (UNSYNCHRONISED | FOOTER) : 0) |
    (extended.length > 0 ? EXTENDED : 0);
  const footer = (flags & FOOTER) !== 0;
  const content = extended.length + frames.length;
  const before = tag.length - HEADER_BYTES;
  const size = footer ? content : content <= before ? before : content + PADDING;
  if (size > MOST_BYTES) throw new ExchangeFault(tooLarge(name, 'a tag (256 MB)'));
  const fields = joinBytes([Uint8Array.of(version, revision, flags), synchsafeBytes(size)]);
  return joinBytes([
    latin1('ID3'),
    fields,
    extended,
    frames,
    footer ? joinBytes([latin1('3DI'), fields]) : new Uint8Array(size - content),
  ]);
}
