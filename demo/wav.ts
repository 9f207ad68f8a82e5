/** Writes 16-bit PCM WAV files with a title and an artist. */
import type { Random } from './synth/prng.ts';

/** Chunks of a RIFF INFO list (Multimedia Programming Interface and Data Specifications 1.0, 1991). */
export interface InfoTags {
  /** title */
  INAM: string;
  /** artist */
  IART: string;
  /** genre */
  IGNR?: string;
  /** year */
  ICRD?: string;
  /** comment */
  ICMT?: string;
}

const FULL_SCALE = 32767;
const CHANNELS = 2;
const BYTES_PER_FRAME = CHANNELS * 2;
const FORMAT_BYTES = 16;
const CHUNK_HEAD = 8;
const PCM = 1;

/**
 * Bytes of a stereo WAV file. Rounding is dithered by triangular noise of ±1 step (Lipshitz, Wannamaker and
 * Vanderkooy, "Quantization and Dither: A Theoretical Survey", 1992); samples beyond full scale are clipped.
 * @param random noise for the dither
 */
export function encodeWav(
  left: Float32Array,
  right: Float32Array,
  sampleRate: number,
  tags: InfoTags,
  random: Random,
): Uint8Array<ArrayBuffer> {
  const info = infoList(tags);
  const dataBytes = left.length * BYTES_PER_FRAME;
  const total = 4 + CHUNK_HEAD + FORMAT_BYTES + info.length + CHUNK_HEAD + dataBytes;
  const bytes = new Uint8Array(CHUNK_HEAD + total);
  const view = new DataView(bytes.buffer);
  let at = 0;
  const text = (s: string) => {
    for (const char of s) bytes[at++] = char.charCodeAt(0);
  };
  const u32 = (value: number) => view.setUint32((at += 4) - 4, value, true);
  const u16 = (value: number) => view.setUint16((at += 2) - 2, value, true);
  text('RIFF');
  u32(total);
  text('WAVEfmt ');
  u32(FORMAT_BYTES);
  u16(PCM);
  u16(CHANNELS);
  u32(sampleRate);
  u32(sampleRate * BYTES_PER_FRAME);
  u16(BYTES_PER_FRAME);
  u16(16);
  // The tags stand before the audio, so that a reader has them after the first bytes.
  bytes.set(info, at);
  at += info.length;
  text('data');
  u32(dataBytes);
  for (let i = 0; i < left.length; i++) {
    view.setInt16(at, toInt16(left[i], random), true);
    view.setInt16(at + 2, toInt16(right[i], random), true);
    at += BYTES_PER_FRAME;
  }
  return bytes;
}

function toInt16(sample: number, random: Random): number {
  // Digital silence stays digital silence: there is no signal that noise would have to free of distortion.
  if (sample === 0) return 0;
  const value = Math.round(sample * FULL_SCALE + random() - random());
  return value > FULL_SCALE ? FULL_SCALE : value < -FULL_SCALE ? -FULL_SCALE : value;
}

function infoList(tags: InfoTags): Uint8Array {
  const encoder = new TextEncoder();
  const parts = Object.entries(tags)
    .filter(([, value]) => value)
    .map(([name, value]) => {
      const content = encoder.encode(`${value}\0`);
      const chunk = new Uint8Array(CHUNK_HEAD + content.length + (content.length % 2));
      chunk.set(encoder.encode(name));
      new DataView(chunk.buffer).setUint32(4, content.length, true);
      chunk.set(content, CHUNK_HEAD);
      return chunk;
    });
  const length = 4 + parts.reduce((sum, part) => sum + part.length, 0);
  const list = new Uint8Array(CHUNK_HEAD + length);
  list.set(encoder.encode('LIST'));
  new DataView(list.buffer).setUint32(4, length, true);
  list.set(encoder.encode('INFO'), CHUNK_HEAD);
  let at = CHUNK_HEAD + 4;
  for (const part of parts) {
    list.set(part, at);
    at += part.length;
  }
  return list;
}
