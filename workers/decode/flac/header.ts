/** Stream information and frame headers of FLAC. RFC 9639 (https://www.rfc-editor.org/rfc/rfc9639) sections 8.2 and 9.1. */
import { u16be, u32be } from '../bytes.ts';
import { crc8 } from './crc.ts';

export interface StreamInfo {
  minBlock: number;
  maxBlock: number;
  /** Hz */
  sampleRate: number;
  channels: number;
  bits: number;
  /** Samples per channel; 0 when unknown. */
  totalSamples: number;
}

export const STREAMINFO_BYTES = 34;

/** Parses the body of a STREAMINFO block. */
export function parseStreamInfo(b: Uint8Array): StreamInfo | null {
  if (b.length < STREAMINFO_BYTES) return null;
  const info = {
    minBlock: u16be(b, 0),
    maxBlock: u16be(b, 2),
    sampleRate: (b[10] << 12) | (b[11] << 4) | (b[12] >> 4),
    channels: ((b[12] >> 1) & 7) + 1,
    bits: (((b[12] & 1) << 4) | (b[13] >> 4)) + 1,
    totalSamples: (b[13] & 15) * 2 ** 32 + u32be(b, 14),
  };
  return info.sampleRate > 0 && info.bits >= 4 ? info : null;
}

export interface FrameHeader {
  blockSize: number;
  /** 0..7: that many independent channels less one; 8 left+side, 9 side+right, 10 mid+side. */
  assignment: number;
  /** Index of the frame's first sample. */
  firstSample: number;
  /** Length of the header with its checksum, bytes. */
  length: number;
}

const BITS = [0, 8, 12, -1, 16, 20, 24, 32];
const RATES = [0, 88200, 176400, 192000, 8000, 16000, 22050, 24000, 32000, 44100, 48000, 96000];
/** Longest frame header: 4 bytes, a coded number of 7, block size 2, rate 2, checksum 1. */
export const LONGEST_HEADER = 16;

/** The frame header at offset `o` if it is whole, its checksum is right, and it fits the stream; else null. */
export function parseFrameHeader(b: Uint8Array, o: number, info: StreamInfo): FrameHeader | null {
  if (b[o] !== 0xff || (b[o + 1] & 0xfe) !== 0xf8 || o + 6 > b.length) return null;
  const variable = (b[o + 1] & 1) === 1;
  const sizeCode = b[o + 2] >> 4;
  const rateCode = b[o + 2] & 15;
  const assignment = b[o + 3] >> 4;
  const bitsCode = (b[o + 3] >> 1) & 7;
  if (sizeCode === 0 || rateCode === 15 || assignment > 10 || BITS[bitsCode] === -1 || b[o + 3] & 1)
    return null;
  const channels = assignment < 8 ? assignment + 1 : 2;
  if (channels !== info.channels || (bitsCode !== 0 && BITS[bitsCode] !== info.bits)) return null;

  let p = o + 4;
  const lead = b[p++];
  const extra = lead < 0x80 ? 0 : Math.clz32(~(lead << 24)) - 1;
  if (extra > 6 || (lead >= 0x80 && lead < 0xc0)) return null;
  let number = extra === 0 ? lead : lead & (0x3f >> extra);
  for (let i = 0; i < extra; i++) {
    if ((b[p] & 0xc0) !== 0x80) return null;
    number = number * 64 + (b[p++] & 0x3f);
  }

  let blockSize: number;
  if (sizeCode === 1) blockSize = 192;
  else if (sizeCode <= 5) blockSize = 576 << (sizeCode - 2);
  else if (sizeCode === 6) blockSize = b[p++] + 1;
  else if (sizeCode === 7) {
    blockSize = u16be(b, p) + 1;
    p += 2;
  } else blockSize = 256 << (sizeCode - 8);

  let rate = RATES[rateCode] ?? 0;
  if (rateCode === 12) rate = b[p++] * 1000;
  else if (rateCode >= 13) {
    rate = u16be(b, p) * (rateCode === 13 ? 1 : 10);
    p += 2;
  }
  if (rate !== 0 && rate !== info.sampleRate) return null;
  if (p >= b.length || crc8(b, o, p) !== b[p]) return null;
  const firstSample = variable
    ? number
    : number * (info.minBlock === info.maxBlock ? info.maxBlock : blockSize);
  return { blockSize, assignment, firstSample, length: p + 1 - o };
}
