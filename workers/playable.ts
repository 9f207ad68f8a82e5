/**
 * A 16-bit WAV of a track, for browsers whose media element cannot play the file itself.
 * Format: "Multimedia Programming Interface and Data Specifications 1.0" (IBM and Microsoft, 1991), RIFF WAVE.
 */
import { openTrack } from './decode/open.ts';
import type { Block, ByteSource, DecodeOptions } from './decode/types.ts';

const HEADER_BYTES = 44;
const SAMPLE_BYTES = 2;
const FULL_SCALE = 32_767;
/** Bytes that are gathered before they are handed to the browser, which may keep them on disk. */
const PIECE_BYTES = 8 << 20;

/**
 * Decodes `source` into a WAV of the same timing, rate and channels.
 * @throws DecodeFault as `openTrack` does
 */
export async function playableBlob(source: ByteSource, options: DecodeOptions = {}): Promise<Blob> {
  const track = await openTrack(source, options);
  const pieces: Blob[] = [];
  let gathered: Uint8Array<ArrayBuffer>[] = [];
  let bytes = 0;
  let total = 0;
  let channels = track.format.channels;
  for await (const block of track.blocks()) {
    channels = block.length;
    const samples = interleave(block);
    gathered.push(samples);
    bytes += samples.length;
    total += samples.length;
    if (bytes < PIECE_BYTES) continue;
    pieces.push(new Blob(gathered));
    gathered = [];
    bytes = 0;
  }
  const header = wavHeader(track.format.sampleRate, channels, total);
  return new Blob([header, ...pieces, ...gathered], { type: 'audio/wav' });
}

/** 16-bit little-endian samples, channels in turn, clipped at full scale. */
function interleave(block: Block): Uint8Array<ArrayBuffer> {
  const channels = block.length;
  const { length } = block[0];
  const view = new DataView(new ArrayBuffer(length * channels * SAMPLE_BYTES));
  for (let c = 0; c < channels; c++) {
    const samples = block[c];
    for (let i = 0, at = c * SAMPLE_BYTES; i < length; i++, at += channels * SAMPLE_BYTES)
      view.setInt16(at, Math.round(FULL_SCALE * Math.min(1, Math.max(-1, samples[i]))), true);
  }
  return new Uint8Array(view.buffer);
}

function wavHeader(sampleRate: number, channels: number, dataBytes: number): Uint8Array<ArrayBuffer> {
  const view = new DataView(new ArrayBuffer(HEADER_BYTES));
  const text = (at: number, word: string) =>
    [...word].forEach((c, i) => view.setUint8(at + i, c.charCodeAt(0)));
  const frameBytes = channels * SAMPLE_BYTES;
  text(0, 'RIFF');
  view.setUint32(4, HEADER_BYTES - 8 + dataBytes, true);
  text(8, 'WAVE');
  text(12, 'fmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true); // integer PCM
  view.setUint16(22, channels, true);
  view.setUint32(24, sampleRate, true);
  view.setUint32(28, sampleRate * frameBytes, true);
  view.setUint16(32, frameBytes, true);
  view.setUint16(34, 8 * SAMPLE_BYTES, true);
  text(36, 'data');
  view.setUint32(40, dataBytes, true);
  return new Uint8Array(view.buffer);
}
