/** Tags that stand around the audio of MP3, AAC and sometimes FLAC files. */
import { textAt, u32le } from './bytes.ts';
import type { ByteSource } from './types.ts';

/** More tags in a row than any file has. */
const MOST_TAGS = 16;
const ID3V1_BYTES = 128;
const APE_FOOTER_BYTES = 32;

/** Length of the ID3v2 tag at offset `o`, or 0. Specification: https://id3.org/id3v2.4.0-structure section 3.1 */
export function id3v2Length(b: Uint8Array, o: number): number {
  if (!textAt(b, o, 'ID3') || o + 10 > b.length) return 0;
  const size =
    ((b[o + 6] & 127) << 21) | ((b[o + 7] & 127) << 14) | ((b[o + 8] & 127) << 7) | (b[o + 9] & 127);
  const footer = b[o + 5] & 0x10 ? 10 : 0;
  return 10 + size + footer;
}

/** Byte offset behind all ID3v2 tags at the start of the file. */
export async function skipId3v2(source: ByteSource): Promise<number> {
  let position = 0;
  for (let i = 0; i < MOST_TAGS; i++) {
    const length = id3v2Length(await source.read(position, position + 10), 0);
    if (length === 0) break;
    position += length;
  }
  return position;
}

/** Byte offset where tags at the end of the file begin: ID3v1, and APEv2 (https://wiki.hydrogenaud.io/index.php?title=APEv2_specification). */
export async function tagsAtEnd(source: ByteSource): Promise<number> {
  let end = source.size;
  if (textAt(await source.read(end - ID3V1_BYTES, end), 0, 'TAG')) end -= ID3V1_BYTES;
  const footer = await source.read(end - APE_FOOTER_BYTES, end);
  if (textAt(footer, 0, 'APETAGEX')) {
    const header = footer[23] & 0x80 ? APE_FOOTER_BYTES : 0;
    const length = u32le(footer, 12) + header;
    if (length <= end) end -= length;
  }
  return end;
}
