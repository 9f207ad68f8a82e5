/** Walks over the frames of an MPEG audio stream, past junk and damage. */
import { id3v2Length } from '../id3.ts';
import { textAt } from '../bytes.ts';
import type { ByteWindow } from '../window.ts';
import { freeFormatLength, LONGEST_FRAME, parseHeader, sameStream, type FrameHeader } from './header.ts';

/** Frames in a row that must agree before a stream is believed. */
const AGREEING = 3;

export interface Frame {
  header: FrameHeader;
  /** The whole frame. Valid until the next step. */
  bytes: Uint8Array;
  /** Junk was skipped before this frame. */
  afterGap: boolean;
}

/** What stands at the end of a walk. */
export interface WalkEnd {
  /** The last frame lacks bytes. */
  cut: boolean;
}

function lengthAt(b: Uint8Array, o: number, h: FrameHeader, free: number): number {
  if (h.length > 0) return h.length;
  const base = free || freeFormatLength(b, o, h);
  return base === 0 ? 0 : base + (h.padding ? (h.layer === 1 ? 4 : 1) : 0);
}

/**
 * Offset in `b` from `o` on where `AGREEING` frames follow each other (fewer when `b` is the end of the file and
 * the frames reach it), or −1.
 */
export function findStream(
  b: Uint8Array,
  o: number,
  isEnd: boolean,
  like: FrameHeader | null = null,
): number {
  for (let p = o; p + 4 <= b.length; p++) {
    if (b[p] !== 0xff) continue;
    const first = parseHeader(b, p);
    if (!first || (like && !sameStream(like, first))) continue;
    let q = p;
    let count = 0;
    let h: FrameHeader | null = first;
    let free = 0;
    while (h && sameStream(first, h)) {
      const length = lengthAt(b, q, h, free);
      if (length === 0) break;
      if (h.length === 0) free = length - (h.padding ? (h.layer === 1 ? 4 : 1) : 0);
      count++;
      q += length;
      if (count === AGREEING) return p;
      if (q + 4 > b.length) {
        // A short file, or the last frames of a long one.
        if (isEnd && (count >= 2 || (count === 1 && q === b.length))) return p;
        break;
      }
      h = parseHeader(b, q);
    }
    if (like && isEnd && count >= 1 && q === b.length) return p;
  }
  return -1;
}

/** Yields every whole frame; the returned value says how the walk ended. */
export async function* walk(window: ByteWindow): AsyncGenerator<Frame, WalkEnd, void> {
  let like: FrameHeader | null = null;
  let free = 0;
  let gap = false;
  let tried = -1;
  for (;;) {
    if (!(await window.fill(4))) return { cut: false };
    const { bytes, at } = window;
    const header = parseHeader(bytes, at);
    if (header && like && sameStream(like, header)) {
      if (header.length === 0 && free === 0) {
        await window.fill(2 * LONGEST_FRAME);
        free =
          lengthAt(window.bytes, window.at, header, 0) - (header.padding ? (header.layer === 1 ? 4 : 1) : 0);
      }
      const length = header.length || free + (header.padding ? (header.layer === 1 ? 4 : 1) : 0);
      if (length > 4) {
        if (!(await window.fill(length))) return { cut: true };
        yield { header, bytes: window.bytes.subarray(window.at, window.at + length), afterGap: gap };
        gap = false;
        window.skip(length);
        continue;
      }
    }
    const tag = id3v2Length(bytes, at);
    if (tag > 0) {
      window.skip(tag);
      continue;
    }
    if (textAt(bytes, at, 'TAG') || textAt(bytes, at, 'APET')) return { cut: false };
    // Out of step: look for the next place where frames follow each other.
    // A place that was believed once and led nowhere is not tried again, else the walk would stand still.
    if (window.position === tried) window.skip(1);
    await window.fill(AGREEING * LONGEST_FRAME);
    const found = findStream(window.bytes, window.at, window.ended, like);
    if (found >= 0) {
      gap = like !== null && found > window.at;
      window.at = found;
      tried = window.position;
      // The sync position itself is trusted from here on even where only the last frame is left.
      like = parseHeader(window.bytes, found);
      free = 0;
    } else {
      if (window.ended) return { cut: false };
      gap = like !== null;
      window.skip(Math.max(1, window.available - AGREEING * LONGEST_FRAME));
    }
  }
}
