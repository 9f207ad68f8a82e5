/** What a decoder must be told of an AAC stream. ISO/IEC 14496-3 section 1.6.2.1 (AudioSpecificConfig) and annex 1.A (ADTS). */
import { BitReader } from '../bit-reader.ts';

export interface AacConfig {
  /** AudioSpecificConfig as bytes. */
  asc: Uint8Array;
  /** 2 = LC; 5 and 29 (SBR, PS) are reduced to the core's type. */
  objectType: number;
  rateIndex: number;
  /** Hz of the core; a stream with SBR decodes to twice this rate where the decoder knows SBR. */
  sampleRate: number;
  /** Channel configuration 1..7; 0 when a program config element says it. */
  channelConfig: number;
}

export const AAC_RATES = [
  96000, 88200, 64000, 48000, 44100, 32000, 24000, 22050, 16000, 12000, 11025, 8000, 7350,
];
const ESCAPE_RATE = 15;
const SBR = 5;
const PS = 29;
export const LC = 2;
/** Samples per channel in one packet of the core. */
export const AAC_FRAME = 1024;

/** Channels of a configuration. */
export const aacChannels = (config: number) => (config === 7 ? 8 : config);

function objectTypeOf(r: BitReader): number {
  const type = r.small(5);
  return type === 31 ? 32 + r.small(6) : type;
}

/** Parses an AudioSpecificConfig, or null when it makes no sense. */
export function parseAsc(asc: Uint8Array): AacConfig | null {
  const r = new BitReader(asc);
  let objectType = objectTypeOf(r);
  const rateIndex = r.small(4);
  const sampleRate = rateIndex === ESCAPE_RATE ? r.small(24) : AAC_RATES[rateIndex];
  const channelConfig = r.small(4);
  if (objectType === SBR || objectType === PS) {
    if (r.small(4) === ESCAPE_RATE) r.small(24);
    objectType = objectTypeOf(r);
  }
  if (r.overrun || !sampleRate || channelConfig > 7) return null;
  return { asc, objectType, rateIndex, sampleRate, channelConfig };
}

/** The two bytes of AudioSpecificConfig for a stream that had ADTS headers. */
export function ascOf(objectType: number, rateIndex: number, channelConfig: number): Uint8Array {
  return Uint8Array.of((objectType << 3) | (rateIndex >> 1), ((rateIndex & 1) << 7) | (channelConfig << 3));
}

export const ADTS_BYTES = 7;
const LONGEST_ADTS = 0x1fff;

/** Appends one packet with an ADTS header to `out` at `at`; returns the offset behind it. */
export function putAdts(out: Uint8Array, at: number, packet: Uint8Array, c: AacConfig): number {
  const length = packet.length + ADTS_BYTES;
  if (length > LONGEST_ADTS) throw new Error('packet is too long for ADTS');
  out[at] = 0xff;
  out[at + 1] = 0xf1;
  out[at + 2] = ((c.objectType - 1) << 6) | (c.rateIndex << 2) | (c.channelConfig >> 2);
  out[at + 3] = ((c.channelConfig & 3) << 6) | (length >> 11);
  out[at + 4] = (length >> 3) & 0xff;
  out[at + 5] = ((length & 7) << 5) | 0x1f;
  out[at + 6] = 0xfc;
  out.set(packet, at + ADTS_BYTES);
  return at + length;
}
