/** Ogg pages and the packets in them. RFC 3533, https://www.rfc-editor.org/rfc/rfc3533 section 6. */
import { textAt, u32le } from '../bytes.ts';
import type { ByteSource } from '../types.ts';
import { ByteWindow } from '../window.ts';

const HEADER_BYTES = 27;
export const LONGEST_PAGE = HEADER_BYTES + 255 + 255 * 255;
const CONTINUED = 1;
const FIRST = 2;
const LAST = 4;
const CRC_POLYNOMIAL = 0x04c11db7;
const CRC_OFFSET = 22;

const crcTable = Uint32Array.from({ length: 256 }, (_, i) => {
  let c = i << 24;
  for (let k = 0; k < 8; k++) c = c & 0x80000000 ? (c << 1) ^ CRC_POLYNOMIAL : c << 1;
  return c >>> 0;
});

/** Checksum of a page, its own field read as zero. */
export function pageCrc(b: Uint8Array, start: number, end: number): number {
  let c = 0;
  for (let i = start; i < end; i++) {
    const field = i - start - CRC_OFFSET;
    const byte = field >= 0 && field < 4 ? 0 : b[i];
    c = ((c << 8) ^ crcTable[(c >>> 24) ^ byte]) >>> 0;
  }
  return c;
}

export interface Page {
  serial: number;
  /** Position at the end of the last packet that ends on this page, in samples; null where none ends here. */
  granule: number | null;
  isFirst: boolean;
  isLast: boolean;
  /** Whole packets that end on this page. Copies, they stay valid. */
  packets: Uint8Array[];
  /** The page as it stands in the file. Valid until the next step. */
  raw: Uint8Array;
  /** Pages or parts of packets before this one were lost. */
  afterGap: boolean;
}

/** 64-bit granule position; −1 means that no packet ends on the page. */
function granuleAt(b: Uint8Array, o: number): number | null {
  const low = u32le(b, o);
  const high = u32le(b, o + 4) | 0;
  return high === -1 && low === 0xffffffff ? null : high * 2 ** 32 + low;
}

interface Stream {
  sequence: number;
  /** Pieces of a packet that goes on on the next page. */
  pending: Uint8Array[];
}

/** What stands at the end of a walk. */
export interface WalkEnd {
  /** The last page lacks bytes. */
  cut: boolean;
}

function joined(parts: Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((n, p) => n + p.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

/** Adds the page's segments to what is pending; returns the packets that end here. */
function packetsOf(raw: Uint8Array, flags: number, stream: Stream, lost: boolean): Uint8Array[] {
  const segments = raw[26];
  const packets: Uint8Array[] = [];
  const continued = (flags & CONTINUED) !== 0;
  if (!continued || lost) stream.pending = [];
  // The rest of a packet whose beginning is lost is of no use.
  let orphan = continued && (lost || stream.pending.length === 0);
  let from = HEADER_BYTES + segments;
  let to = from;
  for (let i = 0; i < segments; i++) {
    const lacing = raw[HEADER_BYTES + i];
    to += lacing;
    if (lacing === 255) continue;
    if (orphan) orphan = false;
    else packets.push(joined([...stream.pending, raw.subarray(from, to)]));
    stream.pending = [];
    from = to;
  }
  if (to > from && !orphan) stream.pending.push(raw.slice(from, to));
  return packets;
}

/** Yields every page whose checksum is right, of all streams in the file, from byte `start` on. */
export async function* walkPages(
  source: ByteSource,
  start: number,
  at: (position: number) => void,
): AsyncGenerator<Page, WalkEnd, void> {
  const window = new ByteWindow(source, start);
  const streams = new Map<number, Stream>();
  let skipped = false;
  for (;;) {
    await window.fill(LONGEST_PAGE);
    const { bytes, at: o } = window;
    if (window.available < HEADER_BYTES) return { cut: window.available > 0 };
    const segments = bytes[o + 26];
    let length = HEADER_BYTES + segments;
    for (let i = 0; i < segments; i++) length += bytes[o + HEADER_BYTES + i] ?? 0;
    const isPage = textAt(bytes, o, 'OggS') && bytes[o + 4] === 0;
    const fits = length <= window.available;
    if (!isPage || !fits || pageCrc(bytes, o, o + length) !== u32le(bytes, o + CRC_OFFSET)) {
      // Look for the next capture pattern.
      let next = o + 1;
      while ((next = bytes.indexOf(0x4f, next)) >= 0 && !textAt(bytes, next, 'OggS')) next++;
      if (next < 0 && window.ended) return { cut: isPage && !fits };
      window.skip(next < 0 ? Math.max(1, window.available - 3) : next - o);
      skipped = true;
      continue;
    }
    const raw = bytes.subarray(o, o + length);
    const serial = u32le(raw, 14);
    const sequence = u32le(raw, 18);
    let stream = streams.get(serial);
    if (!stream) streams.set(serial, (stream = { sequence: sequence - 1, pending: [] }));
    const lost = sequence !== stream.sequence + 1;
    stream.sequence = sequence;
    const packets = packetsOf(raw, raw[5], stream, lost);
    window.skip(length);
    at(window.position);
    yield {
      serial,
      granule: granuleAt(raw, 6),
      isFirst: (raw[5] & FIRST) !== 0,
      isLast: (raw[5] & LAST) !== 0,
      packets,
      raw,
      afterGap: lost || skipped,
    };
    skipped = false;
  }
}

/** Granule position of the last page of a stream in the file, and whether that page says it is the last. */
export async function lastGranule(
  source: ByteSource,
  serial: number,
): Promise<{ granule: number; isLast: boolean } | null> {
  let end = source.size;
  // Two page lengths further towards the start with each look; another stream may have the end for itself.
  for (let looks = 0; end > 0 && looks < 32; looks++) {
    const from = Math.max(0, end - 2 * LONGEST_PAGE);
    const b = await source.read(from, Math.min(source.size, end + HEADER_BYTES));
    for (let o = b.length - HEADER_BYTES; o >= 0; o--) {
      if (b[o] !== 0x4f || !textAt(b, o, 'OggS') || u32le(b, o + 14) !== serial) continue;
      const granule = granuleAt(b, o + 6);
      if (granule !== null && granule >= 0) return { granule, isLast: (b[o + 5] & LAST) !== 0 };
    }
    end = from;
  }
  return null;
}
