/** ADTS frames. ISO/IEC 14496-3 annex 1.A.2. */
import { AAC_RATES, ADTS_BYTES } from '../aac/config.ts';

export interface AdtsHeader {
  objectType: number;
  rateIndex: number;
  channelConfig: number;
  /** Header with its checksum, bytes. */
  headerLength: number;
  /** The whole frame, bytes. */
  length: number;
}

/** Frames in a row that must agree before a stream is believed. */
const AGREEING = 3;

/** The header at offset `o`, or null. Frames of several raw blocks are not made by any encoder in use. */
export function parseAdts(b: Uint8Array, o: number): AdtsHeader | null {
  if (o + ADTS_BYTES > b.length || b[o] !== 0xff || (b[o + 1] & 0xf6) !== 0xf0) return null;
  const rateIndex = (b[o + 2] >> 2) & 15;
  const length = ((b[o + 3] & 3) << 11) | (b[o + 4] << 3) | (b[o + 5] >> 5);
  const headerLength = b[o + 1] & 1 ? ADTS_BYTES : ADTS_BYTES + 2;
  if (rateIndex >= AAC_RATES.length || length <= headerLength || (b[o + 6] & 3) !== 0) return null;
  return {
    objectType: (b[o + 2] >> 6) + 1,
    rateIndex,
    channelConfig: ((b[o + 2] & 1) << 2) | (b[o + 3] >> 6),
    headerLength,
    length,
  };
}

export const sameStream = (a: AdtsHeader, b: AdtsHeader) =>
  a.objectType === b.objectType && a.rateIndex === b.rateIndex && a.channelConfig === b.channelConfig;

/** Offset from `o` on where frames follow each other, or −1. */
export function findFrames(b: Uint8Array, o: number, isEnd: boolean): number {
  for (let p = b.indexOf(0xff, o); p >= 0 && p + ADTS_BYTES <= b.length; p = b.indexOf(0xff, p + 1)) {
    const first = parseAdts(b, p);
    let count = 0;
    let q = p;
    for (let h = first; first && h && sameStream(first, h); h = parseAdts(b, q)) {
      count++;
      q += h.length;
      if (count === AGREEING) return p;
      if (q + ADTS_BYTES > b.length) {
        if (isEnd && (count >= 2 || q === b.length)) return p;
        break;
      }
    }
  }
  return -1;
}
