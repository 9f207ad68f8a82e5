/** A FLAC frame in memory to a block of floats, with the checks that tell a frame from damage. */
import { BitReader } from '../bit-reader.ts';
import { u16be } from '../bytes.ts';
import type { Block } from '../types.ts';
import { crc16 } from './crc.ts';
import { decodeSubframes } from './frame.ts';
import { parseFrameHeader, type FrameHeader, type StreamInfo } from './header.ts';

/** Subframe headers, coefficients and partition parameters of one channel, bytes: far above what there can be. */
const OVERHEAD_PER_CHANNEL = 512;
/** Rice codes can make a frame longer than its samples would be stored plainly, but no encoder writes such frames. */
const EXPANSION = 1.25;

/** Most bytes that a frame of this header is believed to take. */
export const mostBytes = (header: FrameHeader, info: StreamInfo) =>
  Math.ceil(info.channels * (((header.blockSize * (info.bits + 1)) / 8) * EXPANSION + OVERHEAD_PER_CHANNEL)) +
  64;

export type FrameResult =
  | { kind: 'frame'; header: FrameHeader; block: Block; length: number }
  /** Not a frame, or a damaged one. */
  | { kind: 'bad' }
  /** The bytes ended inside the frame. */
  | { kind: 'short' };

export class FlacDecoder {
  private work: Float64Array[] = [];

  constructor(readonly info: StreamInfo) {}

  /** Decodes the frame at offset `o`; bytes behind it may follow. */
  frame(bytes: Uint8Array, o: number): FrameResult {
    const header = parseFrameHeader(bytes, o, this.info);
    if (!header) return { kind: 'bad' };
    const limit = o + mostBytes(header, this.info);
    if (!this.work[0] || this.work[0].length < header.blockSize)
      this.work = Array.from({ length: this.info.channels }, () => new Float64Array(header.blockSize));
    const reader = new BitReader(bytes, o + header.length, Math.min(bytes.length, limit));
    try {
      decodeSubframes(reader, header, this.info, this.work);
    } catch {
      return { kind: reader.overrun && bytes.length < limit ? 'short' : 'bad' };
    }
    const end = reader.byte;
    if (end + 2 > bytes.length) return { kind: 'short' };
    if (crc16(bytes, o, end) !== u16be(bytes, end)) return { kind: 'bad' };
    const scale = 2 ** (1 - this.info.bits);
    const block = this.work.map((samples) => {
      const out = new Float32Array(header.blockSize);
      for (let i = 0; i < out.length; i++) out[i] = samples[i] * scale;
      return out;
    });
    return { kind: 'frame', header, block, length: end + 2 - o };
  }
}

/** Longest stretch of lost audio that is filled with silence, s; more than this is taken for a wrong number. */
const LONGEST_FILL = 60;

/** Samples to fill with silence before a frame, so that what follows damage keeps its place in time. */
export function samplesToFill(header: FrameHeader, written: number, info: StreamInfo): number {
  const missing = header.firstSample - written;
  if (missing <= 0 || missing > LONGEST_FILL * info.sampleRate) return 0;
  if (info.totalSamples > 0 && header.firstSample >= info.totalSamples) return 0;
  return missing;
}

export const silence = (channels: number, samples: number): Block =>
  Array.from({ length: channels }, () => new Float32Array(samples));
