/** Which codec an Ogg stream holds, by its first packet. */
import { textAt, u16le, u32le } from '../bytes.ts';
import { parseStreamInfo, type StreamInfo } from '../flac/header.ts';

export interface VorbisHead {
  codec: 'vorbis';
  channels: number;
  sampleRate: number;
  nominalBitrate: number | null;
}

export interface OpusHead {
  codec: 'opus';
  channels: number;
  preSkip: number;
  /** Q7.8 dB */
  outputGain: number;
  streamCount: number;
  coupledCount: number;
  mapping: number[];
}

export interface FlacHead {
  codec: 'flac';
  info: StreamInfo;
}

export type StreamHead = VorbisHead | OpusHead | FlacHead;

/** Vorbis I specification section 4.2.2, https://xiph.org/vorbis/doc/Vorbis_I_spec.html */
function vorbisHead(p: Uint8Array): VorbisHead | null {
  if (!textAt(p, 0, '\x01vorbis') || p.length < 30) return null;
  const nominal = u32le(p, 20) | 0;
  const head = { channels: p[11], sampleRate: u32le(p, 12), nominalBitrate: nominal > 0 ? nominal : null };
  return head.channels > 0 && head.sampleRate > 0 ? { codec: 'vorbis', ...head } : null;
}

/** RFC 7845 section 5.1, https://www.rfc-editor.org/rfc/rfc7845 */
function opusHead(p: Uint8Array): OpusHead | null {
  if (!textAt(p, 0, 'OpusHead') || p.length < 19 || p[8] > 15) return null;
  const channels = p[9];
  const family = p[18];
  const common = {
    codec: 'opus' as const,
    channels,
    preSkip: u16le(p, 10),
    outputGain: (u16le(p, 16) << 16) >> 16,
  };
  if (family === 0) {
    if (channels < 1 || channels > 2) return null;
    return { ...common, streamCount: 1, coupledCount: channels - 1, mapping: channels === 1 ? [0] : [0, 1] };
  }
  if (channels < 1 || p.length < 21 + channels) return null;
  return { ...common, streamCount: p[19], coupledCount: p[20], mapping: [...p.subarray(21, 21 + channels)] };
}

/** RFC 9639 section 10.1 */
function flacHead(p: Uint8Array): FlacHead | null {
  if (!textAt(p, 0, '\x7fFLAC') || !textAt(p, 9, 'fLaC')) return null;
  const info = parseStreamInfo(p.subarray(17));
  return info ? { codec: 'flac', info } : null;
}

/** The stream's head if it is audio that is decoded here, else null. */
export const parseHead = (packet: Uint8Array): StreamHead | null =>
  vorbisHead(packet) ?? opusHead(packet) ?? flacHead(packet);

const FOREIGN: [string, string][] = [
  ['Speex   ', 'Speex'],
  ['PCM     ', 'Ogg PCM'],
  ['\x80theora', 'video (Theora)'],
];

/** Name of a codec that is known but not decoded here. */
export const foreignName = (packet: Uint8Array) =>
  FOREIGN.find(([magic]) => textAt(packet, 0, magic))?.[1] ?? null;

/**
 * Order in which Vorbis and Opus store 1 to 8 channels (Vorbis I section 4.3.9, RFC 7845 section 5.1.1.2) turned
 * into that of WAV (front left, front right, centre, LFE, back, side): entry i is the stored channel to take.
 */
export const WAV_ORDER: Record<number, number[]> = {
  1: [0],
  2: [0, 1],
  3: [0, 2, 1],
  4: [0, 1, 2, 3],
  5: [0, 2, 1, 3, 4],
  6: [0, 2, 1, 5, 3, 4],
  7: [0, 2, 1, 6, 5, 3, 4],
  8: [0, 2, 1, 7, 5, 6, 3, 4],
};
