/** AAC with ADTS headers (.aac). ISO/IEC 14496-3 annex 1.A.2. The encoder's delay is not stated in such files and is kept. */
import { ascOf, AAC_RATES, ADTS_BYTES, AAC_FRAME, type AacConfig } from '../aac/config.ts';
import { openAac } from '../aac/reading.ts';
import { tagsAtEnd } from '../id3.ts';
import type { OpenReading, Run } from '../reading.ts';
import { damaged } from '../sentences.ts';
import { DecodeFault, type ByteSource } from '../types.ts';
import { ByteWindow } from '../window.ts';
import { findFrames, parseAdts, sameStream, type AdtsHeader } from './frames.ts';

const BATCH = 64;
const LONGEST_FRAME = 8192;
/** Frames from which the mean bit rate is estimated: such files state no length. */
const ESTIMATE_FRAMES = 500;

/** Packets without their headers, in batches. */
async function* packetsOf(
  source: ByteSource,
  start: number,
  end: number,
  like: AdtsHeader,
  run: Run,
): AsyncGenerator<Uint8Array[], void, void> {
  const window = new ByteWindow(source, start, end);
  let batch: Uint8Array[] = [];
  let gap = false;
  let any = false;
  for (;;) {
    await window.fill(LONGEST_FRAME);
    if (window.available < ADTS_BYTES) break;
    const header = parseAdts(window.bytes, window.at);
    if (header && sameStream(header, like)) {
      if (header.length > window.available) {
        run.truncated();
        break;
      }
      if (gap && any) run.damaged();
      gap = false;
      any = true;
      batch.push(window.bytes.slice(window.at + header.headerLength, window.at + header.length));
      window.skip(header.length);
    } else {
      gap = true;
      await window.fill(4 * LONGEST_FRAME);
      const next = findFrames(window.bytes, window.at + 1, window.ended);
      window.skip(next < 0 ? Math.max(1, window.available - LONGEST_FRAME) : next - window.at);
      if (next < 0 && window.ended) break;
    }
    if (batch.length === BATCH) {
      run.at(window.position);
      yield batch;
      batch = [];
    }
  }
  if (batch.length > 0) yield batch;
}

export const openAdts: OpenReading = async (source, start) => {
  const end = await tagsAtEnd(source);
  const window = new ByteWindow(source, start, end);
  await window.fill(ESTIMATE_FRAMES * 512);
  const found = findFrames(window.bytes, 0, window.ended);
  const first = found < 0 ? null : parseAdts(window.bytes, found);
  if (!first) throw new DecodeFault('damaged', damaged(source.name));
  let frames = 0;
  let at = found;
  for (
    let h: AdtsHeader | null = first;
    h && frames < ESTIMATE_FRAMES && at + h.length <= window.bytes.length;
  ) {
    frames++;
    at += h.length;
    h = parseAdts(window.bytes, at);
  }
  const config: AacConfig = {
    asc: ascOf(first.objectType, first.rateIndex, first.channelConfig),
    objectType: first.objectType,
    rateIndex: first.rateIndex,
    sampleRate: AAC_RATES[first.rateIndex],
    channelConfig: first.channelConfig,
  };
  const from = start + found;
  const stream = {
    config,
    packets: (run: Run) => packetsOf(source, from, end, first, run),
    skip: 0,
    keep: null,
  };
  const opened = await openAac(source.name, stream);
  const bytesPerFrame = frames > 0 ? (at - found) / frames : 0;
  const secondsPerFrame = AAC_FRAME / config.sampleRate;
  return {
    format: {
      container: 'aac',
      codec: 'aac',
      lossless: false,
      sampleRate: opened.sampleRate,
      channels: opened.channels,
      bitDepth: null,
      bitrate: bytesPerFrame > 0 ? Math.round((bytesPerFrame * 8) / secondsPerFrame) : null,
    },
    declaredDuration: bytesPerFrame > 0 ? ((end - from) / bytesPerFrame) * secondsPerFrame : null,
    durationIsExact: false,
    decode: opened.decode,
  };
};
