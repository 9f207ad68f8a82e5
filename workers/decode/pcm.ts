/**
 * Uncompressed samples to linear floats. Integers are divided by 2^(bits-1), as ffmpeg does and as AES17 reads
 * a full-scale sine of 0 dBFS; so −full scale is −1 and +full scale is one step below +1.
 */
import type { Block } from './types.ts';

export interface PcmLayout {
  channels: number;
  /** Bits that each sample takes in the file: 8, 16, 24, 32 or 64. */
  containerBits: number;
  kind: 'int' | 'unsigned' | 'float' | 'alaw' | 'ulaw';
  littleEndian: boolean;
}

/** bytes of one sample of every channel */
export const frameBytes = (l: PcmLayout) => (l.channels * l.containerBits) / 8;

/** Whether the layout is one that `pcmToBlock` can read. */
export function pcmSupported(l: PcmLayout): boolean {
  if (l.channels < 1 || l.channels > 64) return false;
  if (l.kind === 'float') return l.containerBits === 32 || l.containerBits === 64;
  if (l.kind === 'alaw' || l.kind === 'ulaw') return l.containerBits === 8;
  return [8, 16, 24, 32].includes(l.containerBits);
}

/** ITU-T G.711 A-law, one code to a linear sample. */
function alaw(code: number): number {
  const c = code ^ 0x55;
  const segment = (c >> 4) & 7;
  let value = ((c & 15) << 4) + 8;
  if (segment > 0) value = (value + 256) << (segment - 1);
  return (c & 0x80 ? value : -value) / 32768;
}

/** ITU-T G.711 µ-law, one code to a linear sample. */
function ulaw(code: number): number {
  const c = ~code & 0xff;
  const value = ((((c & 15) << 3) + 132) << ((c >> 4) & 7)) - 132;
  return (c & 0x80 ? -value : value) / 32768;
}

const lawTable = (law: (code: number) => number) => Float32Array.from({ length: 256 }, (_, i) => law(i));
let alawTable: Float32Array | undefined;
let ulawTable: Float32Array | undefined;

/** Converts whole frames; trailing bytes of an incomplete frame are ignored. */
export function pcmToBlock(bytes: Uint8Array, layout: PcmLayout): Block {
  const { channels, containerBits, kind, littleEndian } = layout;
  const width = containerBits / 8;
  const step = width * channels;
  const frames = Math.floor(bytes.length / step);
  const data = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const block: Block = [];
  for (let c = 0; c < channels; c++) {
    const out = new Float32Array(frames);
    let p = c * width;
    if (kind === 'float') {
      if (width === 4) for (let i = 0; i < frames; i++, p += step) out[i] = data.getFloat32(p, littleEndian);
      else for (let i = 0; i < frames; i++, p += step) out[i] = data.getFloat64(p, littleEndian);
      // A damaged float file can hold NaN and infinities; nothing after this can work with them.
      for (let i = 0; i < frames; i++) if (!Number.isFinite(out[i])) out[i] = 0;
    } else if (kind === 'alaw' || kind === 'ulaw') {
      const table = kind === 'alaw' ? (alawTable ??= lawTable(alaw)) : (ulawTable ??= lawTable(ulaw));
      for (let i = 0; i < frames; i++, p += step) out[i] = table[bytes[p]];
    } else if (width === 1) {
      const offset = kind === 'unsigned' ? 128 : 0;
      if (offset) for (let i = 0; i < frames; i++, p += step) out[i] = (bytes[p] - 128) / 128;
      else for (let i = 0; i < frames; i++, p += step) out[i] = ((bytes[p] << 24) >> 24) / 128;
    } else if (width === 2) {
      for (let i = 0; i < frames; i++, p += step) out[i] = data.getInt16(p, littleEndian) / 32768;
    } else if (width === 3) {
      const [hi, mid, lo] = littleEndian ? [2, 1, 0] : [0, 1, 2];
      for (let i = 0; i < frames; i++, p += step)
        out[i] = ((bytes[p + hi] << 24) | (bytes[p + mid] << 16) | (bytes[p + lo] << 8)) / 2147483648;
    } else {
      for (let i = 0; i < frames; i++, p += step) out[i] = data.getInt32(p, littleEndian) / 2147483648;
    }
    block.push(out);
  }
  return block;
}
