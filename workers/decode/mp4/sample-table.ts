/** Where the packets of a track lie. ISO/IEC 14496-12 sections 8.6 and 8.7 (stts, stsz, stz2, stsc, stco, co64). */
import { u16be, u32be, u64be } from '../bytes.ts';
import { find, type Box } from './boxes.ts';

export interface Packets {
  offsets: number[];
  sizes: number[];
}

/** More packets than a day of audio has: a damaged count must not fill the memory. */
const MOST_PACKETS = 5_000_000;

/** Entries of a table that really are there. */
const countOf = (b: Uint8Array, box: Box, at: number, head: number, entry: number) =>
  Math.min(u32be(b, at), Math.max(0, Math.floor((box.end - box.start - head) / entry)), MOST_PACKETS);

function sizesOf(b: Uint8Array, stbl: Box): number[] {
  const stsz = find(b, stbl.start, stbl.end, 'stsz');
  if (stsz) {
    const same = u32be(b, stsz.start + 4);
    if (same > 0) return new Array<number>(Math.min(u32be(b, stsz.start + 8), MOST_PACKETS)).fill(same);
    const count = countOf(b, stsz, stsz.start + 8, 12, 4);
    return Array.from({ length: count }, (_, i) => u32be(b, stsz.start + 12 + 4 * i));
  }
  const stz2 = find(b, stbl.start, stbl.end, 'stz2');
  if (!stz2) return [];
  const width = b[stz2.start + 7];
  const count = countOf(b, stz2, stz2.start + 8, 12, width / 8 || 1);
  return Array.from({ length: count }, (_, i) => {
    const p = stz2.start + 12;
    if (width === 16) return u16be(b, p + 2 * i);
    if (width === 8) return b[p + i];
    return i & 1 ? b[p + (i >> 1)] & 15 : b[p + (i >> 1)] >> 4;
  });
}

function chunkOffsets(b: Uint8Array, stbl: Box): number[] {
  const stco = find(b, stbl.start, stbl.end, 'stco');
  if (stco)
    return Array.from({ length: countOf(b, stco, stco.start + 4, 8, 4) }, (_, i) =>
      u32be(b, stco.start + 8 + 4 * i),
    );
  const co64 = find(b, stbl.start, stbl.end, 'co64');
  if (!co64) return [];
  return Array.from({ length: countOf(b, co64, co64.start + 4, 8, 8) }, (_, i) =>
    u64be(b, co64.start + 8 + 8 * i),
  );
}

/** Offset and size of every packet, in order. */
export function packetsOf(b: Uint8Array, stbl: Box): Packets {
  const sizes = sizesOf(b, stbl);
  const chunks = chunkOffsets(b, stbl);
  const stsc = find(b, stbl.start, stbl.end, 'stsc');
  const offsets: number[] = [];
  if (!stsc) return { offsets, sizes: [] };
  const runs = countOf(b, stsc, stsc.start + 4, 8, 12);
  for (let r = 0; r < runs && offsets.length < sizes.length; r++) {
    const p = stsc.start + 8 + 12 * r;
    const first = u32be(b, p) - 1;
    const perChunk = u32be(b, p + 4);
    const until = r + 1 < runs ? u32be(b, p + 12) - 1 : chunks.length;
    for (let c = Math.max(0, first); c < Math.min(until, chunks.length); c++) {
      let at = chunks[c];
      for (let i = 0; i < perChunk && offsets.length < sizes.length; i++) {
        at += i === 0 ? 0 : sizes[offsets.length - 1];
        offsets.push(at);
      }
    }
  }
  return { offsets, sizes: sizes.slice(0, offsets.length) };
}

/** Sum of all packet durations, in the track's time scale. */
export function totalDuration(b: Uint8Array, stbl: Box): number {
  const stts = find(b, stbl.start, stbl.end, 'stts');
  if (!stts) return 0;
  let total = 0;
  const count = countOf(b, stts, stts.start + 4, 8, 8);
  for (let i = 0; i < count; i++)
    total += u32be(b, stts.start + 8 + 8 * i) * u32be(b, stts.start + 12 + 8 * i);
  return total;
}
