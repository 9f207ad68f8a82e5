/** Header of an MPEG audio frame. ISO/IEC 11172-3 section 2.4.1.3, ISO/IEC 13818-3 section 2.4.2.3; 2.5 is common practice. */

export interface FrameHeader {
  /** 1, 2 or 2.5 */
  version: number;
  layer: 1 | 2 | 3;
  /** kbit/s; 0 in a free-format stream, whose frame length must be measured */
  bitrate: number;
  /** Hz */
  sampleRate: number;
  padding: boolean;
  mono: boolean;
  /** Samples per channel in the frame. */
  samples: number;
  /** bytes; 0 in a free-format stream */
  length: number;
}

const BITRATES: Record<string, number[]> = {
  '1,1': [0, 32, 64, 96, 128, 160, 192, 224, 256, 288, 320, 352, 384, 416, 448],
  '1,2': [0, 32, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320, 384],
  '1,3': [0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320],
  '2,1': [0, 32, 48, 56, 64, 80, 96, 112, 128, 144, 160, 176, 192, 224, 256],
  '2,2': [0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160],
};
BITRATES['2,3'] = BITRATES['2,2'];
const RATES = [44100, 48000, 32000];

/** The header at offset `o`, or null when there is none. */
export function parseHeader(b: Uint8Array, o: number): FrameHeader | null {
  if (o + 4 > b.length || b[o] !== 0xff || (b[o + 1] & 0xe0) !== 0xe0) return null;
  const versionBits = (b[o + 1] >> 3) & 3;
  const layerBits = (b[o + 1] >> 1) & 3;
  const bitrateIndex = b[o + 2] >> 4;
  const rateIndex = (b[o + 2] >> 2) & 3;
  if (versionBits === 1 || layerBits === 0 || bitrateIndex === 15 || rateIndex === 3) return null;
  if ((b[o + 3] & 3) === 2) return null; // reserved emphasis
  const version = versionBits === 3 ? 1 : versionBits === 2 ? 2 : 2.5;
  const layer = (4 - layerBits) as 1 | 2 | 3;
  const sampleRate = RATES[rateIndex] / (version === 1 ? 1 : version === 2 ? 2 : 4);
  const bitrate = BITRATES[`${version === 1 ? 1 : 2},${layer}`][bitrateIndex];
  const padding = (b[o + 2] & 2) !== 0;
  const samples = layer === 1 ? 384 : layer === 3 && version !== 1 ? 576 : 1152;
  const slot = layer === 1 ? 4 : 1;
  const length =
    bitrate === 0
      ? 0
      : (Math.floor((samples / 8 / slot) * ((bitrate * 1000) / sampleRate)) + (padding ? 1 : 0)) * slot;
  return { version, layer, bitrate, sampleRate, padding, mono: b[o + 3] >> 6 === 3, samples, length };
}

/** Whether two frames can stand in one stream: version, layer and sample rate never change (ISO/IEC 11172-3 2.4.2.3). */
export const sameStream = (a: FrameHeader, b: FrameHeader) =>
  a.version === b.version && a.layer === b.layer && a.sampleRate === b.sampleRate;

/** Side information of a layer 3 frame, bytes. ISO/IEC 11172-3 section 2.4.1.7. */
export const sideInfoLength = (h: FrameHeader) => (h.version === 1 ? (h.mono ? 17 : 32) : h.mono ? 9 : 17);

/** Longest frame there can be (MPEG 2.5 layer 2 at 160 kbit/s and 8 kHz gives 2880), with room for free format at 640 kbit/s. */
export const LONGEST_FRAME = 11_520;

/** Shortest distance that is believed to be a free-format frame, bytes. */
const SHORTEST_FREE = 24;

/** Length without padding of the free-format frame at `o`: the distance to the next like header. 0 when not found. */
export function freeFormatLength(b: Uint8Array, o: number, h: FrameHeader): number {
  for (let p = o + SHORTEST_FREE; p < Math.min(b.length - 4, o + LONGEST_FRAME); p++) {
    const next = parseHeader(b, p);
    if (next && next.bitrate === 0 && sameStream(h, next) && next.mono === h.mono)
      return p - o - (h.padding ? (h.layer === 1 ? 4 : 1) : 0);
  }
  return 0;
}
