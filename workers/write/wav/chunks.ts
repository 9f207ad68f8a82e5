/**
 * The chunks of a RIFF/WAVE file. "Multimedia Programming Interface and Data Specifications 1.0" (IBM, Microsoft
 * 1991), chapters 2 and 3; RF64 and BW64: EBU Tech 3306, ITU-R BS.2088.
 */
import { fourCc, u32le, u64le } from '../../decode/bytes.ts';
import { DecodeFault, type ByteSource } from '../../decode/types.ts';
import { textUntilZero } from '../fields.ts';
import { damagedFile } from '../sentences.ts';

const MOST_CHUNKS = 4096;
/** Size field of a chunk whose length stands in `ds64`. */
const IN_DS64 = 0xffffffff;
/** bytes; cue points and their labels are a few dozen bytes each */
const MOST_LIST_BYTES = 8_000_000;

export interface Chunk {
  id: string;
  /** Of its head. */
  start: number;
  /** Of its body. */
  body: number;
  /** Behind the body, without the padding byte. */
  end: number;
  /** Behind the padding byte, if there is one. */
  next: number;
  /** Kind of a LIST, else ''. */
  list: string;
}

export interface WaveFile {
  /** Sizes are counted in 64 bits. */
  long: boolean;
  /** Hz */
  sampleRate: number;
  chunks: Chunk[];
  data: Chunk;
  /** Byte behind the last chunk; what follows is no part of the form. */
  end: number;
}

/** @throws DecodeFault `damaged` when the chunks do not follow each other up to the end of the form */
export async function readChunks(source: ByteSource, start: number): Promise<WaveFile> {
  const damage = () => new DecodeFault('damaged', damagedFile(source.name));
  const head = await source.read(start, start + 12);
  const long = fourCc(head, 0) !== 'RIFF';
  // Some writers count wrongly here; the chunks themselves decide, within the file.
  const formEnd = long ? source.size : Math.min(source.size, start + 8 + u32le(head, 4));
  const chunks: Chunk[] = [];
  let longData: number | null = null;
  let sampleRate = 0;
  let at = start + 12;
  while (at + 8 <= formEnd && chunks.length < MOST_CHUNKS) {
    const b = await source.read(at, at + 40);
    const id = fourCc(b, 0);
    if (!/^[\x20-\x7e]{4}$/.test(id)) break;
    const size = u32le(b, 4);
    if (id === 'ds64') longData = u64le(b, 16);
    if (id === 'fmt ') sampleRate = u32le(b, 12);
    const length = id === 'data' && long && size === IN_DS64 ? longData : size;
    const isOpen = length === null || (id === 'data' && (length === 0 || size === IN_DS64) && !long);
    if (isOpen || at + 8 + length > source.size) throw damage();
    const end = at + 8 + length;
    const next = Math.min(end + (length & 1), source.size);
    chunks.push({ id, start: at, body: at + 8, end, next, list: id === 'LIST' ? fourCc(b, 8) : '' });
    at = next;
  }
  const data = chunks.find((c) => c.id === 'data');
  if (!data || sampleRate === 0) throw damage();
  return { long, sampleRate, chunks, data, end: at };
}

/** A cue point with what `LIST adtl` says of it. */
export interface CuePoint {
  /** Sample from the start of the audio. */
  sample: number;
  label: string;
  note: string;
  /** Samples; 0 for a point. */
  length: number;
}

export const isCueChunk = (chunk: Chunk): boolean =>
  chunk.id === 'cue ' || (chunk.id === 'LIST' && chunk.list === 'adtl');

/** The file's cue points, in the order of their chunk. */
export async function cuePoints(source: ByteSource, file: WaveFile): Promise<CuePoint[]> {
  const points = new Map<number, CuePoint>();
  for (const chunk of file.chunks) {
    if (chunk.id !== 'cue ') continue;
    const b = await source.read(chunk.body, Math.min(chunk.end, chunk.body + MOST_LIST_BYTES));
    const count = b.length >= 4 ? Math.min(u32le(b, 0), Math.floor((b.length - 4) / 24)) : 0;
    for (let i = 0, o = 4; i < count; i++, o += 24) {
      // dwName, dwPosition, fccChunk, dwChunkStart, dwBlockStart, dwSampleOffset
      points.set(u32le(b, o), { sample: u32le(b, o + 20), label: '', note: '', length: 0 });
    }
  }
  for (const chunk of file.chunks) {
    if (chunk.id !== 'LIST' || chunk.list !== 'adtl') continue;
    const b = await source.read(chunk.body + 4, Math.min(chunk.end, chunk.body + MOST_LIST_BYTES));
    for (let o = 0; o + 12 <= b.length;) {
      const size = u32le(b, o + 4);
      const point = points.get(u32le(b, o + 8));
      const body = b.subarray(o + 12, Math.min(b.length, o + 8 + size));
      if (point) describe(point, fourCc(b, o), body);
      o += 8 + size + (size & 1);
    }
  }
  return [...points.values()];
}

function describe(point: CuePoint, kind: string, body: Uint8Array): void {
  if (kind === 'labl') point.label ||= textUntilZero(body, 0);
  if (kind === 'note') point.note ||= textUntilZero(body, 0);
  // dwSampleLength, dwPurpose, wCountry, wLanguage, wDialect, wCodePage, text
  if (kind === 'ltxt' && body.length >= 4) point.length = u32le(body, 0);
}
