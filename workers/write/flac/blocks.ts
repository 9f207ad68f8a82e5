/** Metadata blocks of a FLAC file. RFC 9639, section 8, https://www.rfc-editor.org/rfc/rfc9639 */
import { parseStreamInfo, type StreamInfo } from '../../decode/flac/header.ts';
import { DecodeFault, type ByteSource } from '../../decode/types.ts';
import { damagedFile } from '../sentences.ts';

export const STREAMINFO = 0;
export const PADDING = 1;
export const VORBIS_COMMENT = 4;
export const CUESHEET = 5;
export const BLOCK_HEADER_BYTES = 4;
/** Lengths have 24 bits. */
export const MOST_BLOCK_BYTES = 2 ** 24 - 1;
const LAST = 0x80;
const MOST_BLOCKS = 1024;

export interface MetadataBlock {
  type: number;
  /** Of its body. */
  body: number;
  end: number;
}

export interface FlacFile {
  info: StreamInfo;
  blocks: MetadataBlock[];
  /** Byte at which the frames begin. */
  audio: number;
}

/** @throws DecodeFault `damaged` when the blocks do not follow each other up to the last one */
export async function readBlocks(source: ByteSource, start: number): Promise<FlacFile> {
  const blocks: MetadataBlock[] = [];
  let at = start + 4;
  for (let isLast = false; !isLast;) {
    const head = await source.read(at, at + BLOCK_HEADER_BYTES);
    const end = at + BLOCK_HEADER_BYTES + ((head[1] << 16) | (head[2] << 8) | head[3]);
    if (head.length < BLOCK_HEADER_BYTES || end > source.size || blocks.length === MOST_BLOCKS)
      throw new DecodeFault('damaged', damagedFile(source.name));
    blocks.push({ type: head[0] & 127, body: at + BLOCK_HEADER_BYTES, end });
    isLast = (head[0] & LAST) !== 0;
    at = end;
  }
  const first = blocks[0];
  const info = first.type === STREAMINFO ? parseStreamInfo(await source.read(first.body, first.end)) : null;
  if (!info) throw new DecodeFault('damaged', damagedFile(source.name));
  return { info, blocks, audio: at };
}

export function blockHeader(type: number, length: number, isLast: boolean): Uint8Array<ArrayBuffer> {
  return Uint8Array.of((isLast ? LAST : 0) | type, (length >> 16) & 255, (length >> 8) & 255, length & 255);
}
