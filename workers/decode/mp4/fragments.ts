/** Packets of fragmented files. ISO/IEC 14496-12 section 8.8 (mvex, moof, traf, tfhd, trun). */
import { u32be, u64be } from '../bytes.ts';
import type { ByteSource } from '../types.ts';
import { boxes, find, topBoxes, type Box } from './boxes.ts';
import type { Packets } from './sample-table.ts';

/** Flags of tfhd and trun. */
const BASE_OFFSET = 0x01;
const DESCRIPTION_INDEX = 0x02;
const DEFAULT_DURATION = 0x08;
const DEFAULT_SIZE = 0x10;
const DATA_OFFSET = 0x01;
const FIRST_FLAGS = 0x04;
const DURATION = 0x100;
const SIZE = 0x200;
const FLAGS = 0x400;
const COMPOSITION = 0x800;

/** A moof of a whole hour stays far below this. */
const MOST_MOOF_BYTES = 16 * 1024 * 1024;

interface Defaults {
  duration: number;
  size: number;
}

/** Default size and duration from `mvex`, or null when the file is not fragmented. */
export function fragmentDefaults(b: Uint8Array, moov: Box, trackId: number): Defaults | null {
  const mvex = find(b, moov.start, moov.end, 'mvex');
  if (!mvex) return null;
  for (const box of boxes(b, mvex.start, mvex.end))
    if (box.type === 'trex' && box.end - box.start >= 24 && u32be(b, box.start + 4) === trackId)
      return { duration: u32be(b, box.start + 12), size: u32be(b, box.start + 16) };
  return { duration: 0, size: 0 };
}

function readRun(
  b: Uint8Array,
  trun: Box,
  base: number,
  defaults: Defaults,
  into: Packets,
): { end: number; duration: number } {
  const flags = u32be(b, trun.start) & 0xffffff;
  const count = u32be(b, trun.start + 4);
  let p = trun.start + 8;
  let at = base;
  if (flags & DATA_OFFSET) {
    at += u32be(b, p) | 0;
    p += 4;
  }
  if (flags & FIRST_FLAGS) p += 4;
  let total = 0;
  const entry =
    (flags & DURATION ? 4 : 0) +
    (flags & SIZE ? 4 : 0) +
    (flags & FLAGS ? 4 : 0) +
    (flags & COMPOSITION ? 4 : 0);
  const most = entry > 0 ? Math.floor((trun.end - p) / entry) : Math.min(count, 1 << 20);
  for (let i = 0; i < Math.min(count, most); i++) {
    let q = p + i * entry;
    let { duration, size } = defaults;
    if (flags & DURATION) {
      duration = u32be(b, q);
      q += 4;
    }
    if (flags & SIZE) size = u32be(b, q);
    into.offsets.push(at);
    into.sizes.push(size);
    at += size;
    total += duration;
  }
  return { end: at, duration: total };
}

/** Appends the packets of every fragment; returns the sum of their durations in the track's time scale. */
export async function readFragments(
  source: ByteSource,
  start: number,
  trackId: number,
  trex: Defaults,
  into: Packets,
): Promise<number> {
  let total = 0;
  for await (const top of topBoxes(source, start)) {
    if (top.type !== 'moof' || top.end - top.start > MOST_MOOF_BYTES || top.end > source.size) continue;
    const b = await source.read(top.start, top.end);
    const moofStart = top.start - 8;
    for (const traf of boxes(b, 0, b.length)) {
      if (traf.type !== 'traf') continue;
      const tfhd = find(b, traf.start, traf.end, 'tfhd');
      if (!tfhd || u32be(b, tfhd.start + 4) !== trackId) continue;
      const flags = u32be(b, tfhd.start) & 0xffffff;
      let p = tfhd.start + 8;
      let base = moofStart;
      const defaults = { ...trex };
      if (flags & BASE_OFFSET) {
        base = u64be(b, p);
        p += 8;
      }
      if (flags & DESCRIPTION_INDEX) p += 4;
      if (flags & DEFAULT_DURATION) {
        defaults.duration = u32be(b, p);
        p += 4;
      }
      if (flags & DEFAULT_SIZE) defaults.size = u32be(b, p);
      let next = base;
      for (const trun of boxes(b, traf.start, traf.end)) {
        if (trun.type !== 'trun') continue;
        const hasOffset = (u32be(b, trun.start) & DATA_OFFSET) !== 0;
        const run = readRun(b, trun, hasOffset ? base : next, defaults, into);
        next = run.end;
        total += run.duration;
      }
    }
  }
  return total;
}
