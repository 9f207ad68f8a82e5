/** The chunks of an AIFF or AIFF-C file. "Audio Interchange File Format 1.3" (1989), and the AIFF-C draft (1991). */
import { fourCc, u16be, u32be } from '../../decode/bytes.ts';
import { DecodeFault, type ByteSource } from '../../decode/types.ts';
import { damagedFile } from '../sentences.ts';

const MOST_CHUNKS = 4096;

export interface Chunk {
  id: string;
  start: number;
  body: number;
  /** Behind the body, without the padding byte. */
  end: number;
  /** Behind the padding byte, if there is one. */
  next: number;
}

export interface AiffFile {
  chunks: Chunk[];
  /** Hz */
  sampleRate: number;
  /** Byte behind the last chunk. */
  end: number;
}

/** @throws DecodeFault `damaged` when the chunks do not follow each other up to the end of the form */
export async function readChunks(source: ByteSource, start: number): Promise<AiffFile> {
  const damage = () => new DecodeFault('damaged', damagedFile(source.name));
  const head = await source.read(start, start + 12);
  const formEnd = Math.min(source.size, start + 8 + u32be(head, 4));
  const chunks: Chunk[] = [];
  let sampleRate = 0;
  let at = start + 12;
  while (at + 8 <= formEnd && chunks.length < MOST_CHUNKS) {
    const b = await source.read(at, at + 8 + 18);
    const id = fourCc(b, 0);
    if (!/^[\x20-\x7e]{4}$/.test(id)) break;
    const length = u32be(b, 4);
    if (at + 8 + length > source.size || (id === 'SSND' && length === 0)) throw damage();
    if (id === 'COMM' && length >= 18) sampleRate = rateOf(b, 8 + 8);
    const end = at + 8 + length;
    const next = Math.min(end + (length & 1), source.size);
    chunks.push({ id, start: at, body: at + 8, end, next });
    at = next;
  }
  if (sampleRate === 0 || !chunks.some((c) => c.id === 'SSND')) throw damage();
  return { chunks, sampleRate, end: at };
}

/** IEEE 754 80-bit extended; sample rates have a small positive exponent. */
function rateOf(b: Uint8Array, o: number): number {
  const exponent = (u16be(b, o) & 0x7fff) - 16383 - 63;
  const rate = Math.round((u32be(b, o + 2) * 2 ** 32 + u32be(b, o + 6)) * 2 ** exponent);
  return Number.isFinite(rate) ? rate : 0;
}

/** Common practice: chunks of both spellings hold a whole ID3v2 tag. */
export const isTagChunk = (chunk: Chunk): boolean => chunk.id === 'ID3 ' || chunk.id === 'id3 ';
