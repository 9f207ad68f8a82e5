/** A track as a 16-bit WAV, made while it is decoded: for media elements that cannot play its own format. */
import type { Block, OpenTrack } from './types.ts';

export const WAV_HEADER_BYTES = 44;
const BYTES_PER_SAMPLE = 2;
const FULL_SCALE = 32768;
/** RIFF counts bytes in 32 bits. */
const MOST_DATA_BYTES = 0xffffffff - WAV_HEADER_BYTES;
/** Media elements play surround inconsistently, and a deck plays two channels. */
const MOST_CHANNELS = 2;

/** The header of a 16-bit PCM WAV. @param dataBytes bytes of samples that follow */
export function wavHeader(sampleRate: number, channels: number, dataBytes: number): Uint8Array<ArrayBuffer> {
  const header = new Uint8Array(WAV_HEADER_BYTES);
  const view = new DataView(header.buffer);
  const text = (offset: number, chars: string) => {
    for (let i = 0; i < chars.length; i++) header[offset + i] = chars.charCodeAt(i);
  };
  const blockAlign = channels * BYTES_PER_SAMPLE;
  text(0, 'RIFF');
  view.setUint32(4, WAV_HEADER_BYTES - 8 + dataBytes, true);
  text(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, channels, true);
  view.setUint32(24, sampleRate, true);
  view.setUint32(28, sampleRate * blockAlign, true);
  view.setUint16(32, blockAlign, true);
  view.setUint16(34, BYTES_PER_SAMPLE * 8, true);
  text(36, 'data');
  view.setUint32(40, dataBytes, true);
  return header;
}

/** Samples to 16 bits, interleaved, clipped; of more than two channels the first two (front left and right). */
export function wavSamples(block: Block, channels: number): Uint8Array<ArrayBuffer> {
  const frames = block[0].length;
  const bytes = new Uint8Array(frames * channels * BYTES_PER_SAMPLE);
  const view = new DataView(bytes.buffer);
  for (let c = 0; c < channels; c++) {
    const samples = block[c];
    for (let i = 0; i < frames; i++) {
      const value = Math.round(samples[i] * FULL_SCALE);
      const clipped = value > FULL_SCALE - 1 ? FULL_SCALE - 1 : value < -FULL_SCALE ? -FULL_SCALE : value;
      view.setInt16((i * channels + c) * BYTES_PER_SAMPLE, clipped, true);
    }
  }
  return bytes;
}

/** Channels of the WAV that a track is turned into. */
export const playableChannels = (track: OpenTrack) => Math.min(MOST_CHANNELS, track.format.channels);

/**
 * The parts of a WAV. The LAST part is the header, because only then the length is known: put it in front of the
 * others (a Blob takes parts in any order, without copying), or use `playableBlob`.
 */
export async function* playableWav(track: OpenTrack): AsyncGenerator<Uint8Array<ArrayBuffer>, void, void> {
  const channels = playableChannels(track);
  let dataBytes = 0;
  for await (const block of track.blocks()) {
    const bytes = wavSamples(block, channels);
    if (dataBytes + bytes.length > MOST_DATA_BYTES) break;
    dataBytes += bytes.length;
    yield bytes;
  }
  yield wavHeader(track.format.sampleRate, channels, dataBytes);
}

/** The whole WAV as a Blob, which the browser may keep on disk. */
export async function playableBlob(track: OpenTrack): Promise<Blob> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  for await (const part of playableWav(track)) parts.push(part);
  const header = parts.pop()!;
  return new Blob([header, ...parts], { type: 'audio/wav' });
}
