/**
 * The bytes of a WAV or AIFF around its samples, with every size known beforehand. RIFF/WAVE: "Multimedia
 * Programming Interface and Data Specifications 1.0" (IBM, Microsoft 1991); "Audio Interchange File Format 1.3"
 * (1989). The tags stand behind the samples, so that the samples begin where the simplest reader expects them.
 */
import { be32, latin1, le16, le32 } from '../write/fields.ts';
import { joinBytes } from '../write/parts.ts';
import type { ByteSource } from '../decode/types.ts';
import { tooLong } from './sentences.ts';
import { type CopiedTags, id3Of, infoOf } from './tags.ts';
import { CopyFault, type CopyContainer, type CopyWish } from './types.ts';

/** RIFF counts in 32 bits; an AIFF's sizes have a sign. */
const MOST_BYTES: Record<CopyContainer, number> = { wav: 0xffffffff, aiff: 0x7fffffff };
const FORMAT_PCM = 1;
const EXTENDED_BIAS = 16383;

/** A file but for its samples. */
export interface FileLayout {
  /** Everything in front of the samples. */
  head: Uint8Array<ArrayBuffer>;
  /** bytes of samples */
  samples: number;
  /** Everything behind them, padding first. */
  tail: Uint8Array<ArrayBuffer>;
  size: number;
}

export interface LayoutOptions extends CopyWish {
  channels: number;
  frames: number;
  tags: CopiedTags;
  /** Of the original; sentences name it. */
  name: string;
}

/** A sample rate as an IEEE 754 80-bit extended number: sign and exponent, then 64 bits with the leading one. */
function extended80(rate: number): Uint8Array<ArrayBuffer> {
  const exponent = Math.floor(Math.log2(rate));
  const high = rate * 2 ** (31 - exponent);
  const sign = EXTENDED_BIAS + exponent;
  return joinBytes([Uint8Array.of(sign >> 8, sign & 0xff), be32(high, 0)]);
}

const be16 = (n: number) => Uint8Array.of(n >> 8, n & 0xff);

/** @throws CopyFault when it would be larger than the format can be */
export function layOut(options: LayoutOptions): FileLayout {
  const { container, channels, frames, depth, tags, name } = options;
  const samples = frames * channels * (depth / 8);
  // A bound first: tags and cover come on top.
  if (samples > MOST_BYTES[container]) throw new CopyFault(tooLong(name, container));
  const pad = new Uint8Array(samples & 1);
  const tag = id3Of(tags, name);
  const tagPad = new Uint8Array(tag.length & 1);
  const parts =
    container === 'wav'
      ? wavParts(options, samples, [infoOf(tags), latin1('id3 '), le32(tag.length), tag, tagPad], pad)
      : aiffParts(options, samples, [latin1('ID3 '), be32(tag.length), tag, tagPad], pad);
  const size = parts.head.length + samples + parts.tail.length;
  if (size - 8 > MOST_BYTES[container]) throw new CopyFault(tooLong(name, container));
  return { ...parts, samples, size };
}

type Ends = Pick<FileLayout, 'head' | 'tail'>;

function wavParts(
  { channels, rate, depth }: LayoutOptions,
  samples: number,
  tags: Uint8Array[],
  pad: Uint8Array,
): Ends {
  const tail = joinBytes([pad, ...tags]);
  const align = channels * (depth / 8);
  const format = joinBytes([le16(FORMAT_PCM, channels), le32(rate, rate * align), le16(align, depth)]);
  const chunks = joinBytes([latin1('WAVEfmt '), le32(format.length), format, latin1('data'), le32(samples)]);
  const size = (chunks.length + samples + tail.length) % 2 ** 32;
  return { head: joinBytes([latin1('RIFF'), le32(size), chunks]), tail };
}

function aiffParts(
  { channels, rate, depth, frames }: LayoutOptions,
  samples: number,
  tags: Uint8Array[],
  pad: Uint8Array,
): Ends {
  const tail = joinBytes([pad, ...tags]);
  const common = joinBytes([be16(channels), be32(frames), be16(depth), extended80(rate)]);
  const chunks = joinBytes([
    latin1('AIFFCOMM'),
    be32(common.length),
    common,
    latin1('SSND'),
    // Offset and block size stand in front of the samples and count.
    be32(samples + 8, 0, 0),
  ]);
  const size = (chunks.length + samples + tail.length) % 2 ** 32;
  return { head: joinBytes([latin1('FORM'), be32(size), chunks]), tail };
}

/** The planned file for those who look at its chunks; its samples read as silence. */
export function layoutSource(layout: FileLayout, name: string): ByteSource {
  const { head, samples, tail, size } = layout;
  return {
    name,
    size,
    read(start, end) {
      const from = Math.max(0, Math.min(start, size));
      const to = Math.max(from, Math.min(end, size));
      const bytes = new Uint8Array(to - from);
      const put = (piece: Uint8Array, at: number) => {
        const first = Math.max(from, at);
        const last = Math.min(to, at + piece.length);
        if (first < last) bytes.set(piece.subarray(first - at, last - at), first - from);
      };
      put(head, 0);
      put(tail, head.length + samples);
      return Promise.resolve(bytes);
    },
  };
}
