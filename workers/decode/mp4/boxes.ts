/** Boxes of the ISO base media file format. ISO/IEC 14496-12 section 4.2, https://mp4ra.org/ for the types. */
import { fourCc, u32be, u64be } from '../bytes.ts';
import type { ByteSource } from '../types.ts';

export interface Box {
  type: string;
  /** Offset of the body. */
  start: number;
  /** Offset behind the box. */
  end: number;
}

/** The boxes between two offsets of bytes in memory; stops at the first that does not fit. */
export function boxes(b: Uint8Array, start: number, end: number): Box[] {
  const found: Box[] = [];
  for (let o = start; o + 8 <= end;) {
    let size = u32be(b, o);
    let body = o + 8;
    if (size === 1) {
      if (o + 16 > end) break;
      size = u64be(b, o + 8);
      body = o + 16;
    } else if (size === 0) size = end - o;
    if (size < body - o || o + size > end) break;
    found.push({ type: fourCc(b, o + 4), start: body, end: o + size });
    o += size;
  }
  return found;
}

/** First box along a path of types, or null. */
export function find(b: Uint8Array, start: number, end: number, ...path: string[]): Box | null {
  let box: Box | null = null;
  for (const type of path) {
    box = boxes(b, box ? box.start : start, box ? box.end : end).find((x) => x.type === type) ?? null;
    if (!box) return null;
  }
  return box;
}

/** More boxes than a file has at its top; fragmented streams of hours have some ten thousand. */
const MOST_BOXES = 200_000;

/** The boxes at the top of the file, without reading their bodies. `end` may lie behind the end of a cut file. */
export async function* topBoxes(source: ByteSource, start: number): AsyncGenerator<Box, void, void> {
  let o = start;
  for (let i = 0; i < MOST_BOXES && o + 8 <= source.size; i++) {
    const head = await source.read(o, o + 16);
    if (head.length < 8) return;
    let size = u32be(head, 0);
    let body = o + 8;
    if (size === 1 && head.length >= 16) {
      size = u64be(head, 8);
      body = o + 16;
    } else if (size === 0) size = source.size - o;
    if (size < body - o) return;
    yield { type: fourCc(head, 4), start: body, end: o + size };
    o += size;
  }
}
