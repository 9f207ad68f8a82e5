/**
 * MPEG audio, layers 1 to 3. We find the frames ourselves and hand only whole, plausible ones to mpg123
 * (`@audio/decode-mp3`), so that tags, junk and damage never reach it.
 *
 * Time zero: where the info frame states an encoder delay, mpg123 drops it and its own 529 samples, and the padding
 * at the end, exactly as ffmpeg and with it Chromium's media element does; measured lag against ffmpeg: 0 samples
 * (tests/decode/mp3.test.ts). Without the statement neither drops anything and both keep the encoder's delay.
 */
import { decoder as createDecoder } from '@audio/decode-mp3';
import { tagsAtEnd } from '../id3.ts';
import { quietly } from '../quiet.ts';
import type { OpenReading, Run } from '../reading.ts';
import { damaged } from '../sentences.ts';
import { DecodeFault, type Block, type ByteSource } from '../types.ts';
import { ByteWindow } from '../window.ts';
import { walk, type Frame } from './frames.ts';
import { parseInfoFrame, type InfoFrame } from './info-frame.ts';

/** Bytes and seconds of frames that are decoded at once: no longer than a block may be, so that none is cut up. */
const BATCH = 48 * 1024;
const BATCH_SECONDS = 0.9;
/** Frames from which the mean bit rate is estimated where the file does not state its length. */
const ESTIMATE_FRAMES = 400;

interface Survey {
  first: Frame['header'];
  info: InfoFrame | null;
  /** kbit/s over the frames looked at */
  meanBitrate: number;
  audioStart: number;
  audioEnd: number;
}

async function survey(source: ByteSource, start: number): Promise<Survey> {
  const audioEnd = await tagsAtEnd(source);
  const window = new ByteWindow(source, start, audioEnd);
  let first: Frame['header'] | null = null;
  let info: InfoFrame | null = null;
  let audioStart = start;
  let bytes = 0;
  let seconds = 0;
  let count = 0;
  for await (const { header, bytes: frame } of walk(window)) {
    if (!first) {
      first = header;
      audioStart = window.position;
      info = parseInfoFrame(frame, header);
      if (info) {
        audioStart += frame.length;
        if (info.frames !== null) break;
        continue;
      }
    }
    bytes += frame.length;
    seconds += header.samples / header.sampleRate;
    if (++count === ESTIMATE_FRAMES) break;
  }
  if (!first) throw new DecodeFault('damaged', damaged(source.name));
  return {
    first,
    info,
    meanBitrate: seconds > 0 ? (bytes * 8) / seconds / 1000 : first.bitrate,
    audioStart,
    audioEnd,
  };
}

function durationOf(s: Survey): { seconds: number | null; exact: boolean } {
  const rate = s.first.sampleRate;
  if (s.info && s.info.frames !== null) {
    const samples = s.info.frames * s.first.samples - (s.info.delay ?? 0) - (s.info.padding ?? 0);
    return { seconds: Math.max(0, samples) / rate, exact: true };
  }
  if (!(s.meanBitrate > 0)) return { seconds: null, exact: false };
  return { seconds: ((s.audioEnd - s.audioStart) * 8) / (s.meanBitrate * 1000), exact: false };
}

interface Decoded {
  channelData: Float32Array[];
  sampleRate: number;
}

async function* decodeFrames(
  source: ByteSource,
  start: number,
  s: Survey,
  run: Run,
): AsyncGenerator<Block, void, void> {
  const decoder = await createDecoder();
  const window = new ByteWindow(source, start, s.audioEnd);
  const batch = new Uint8Array(BATCH * 2);
  let filled = 0;
  let seconds = 0;
  const flush = (): Block | null => {
    if (filled === 0) return null;
    const { result, complaints } = quietly(() => decoder.decode(batch.subarray(0, filled)) as Decoded);
    filled = 0;
    seconds = 0;
    if (complaints > 0 || !result) run.damaged();
    if (!result || !result.channelData[0]?.length || result.sampleRate !== s.first.sampleRate) return null;
    // mpg123 gives two like channels for a mono stream.
    return s.first.mono ? [result.channelData[0]] : result.channelData.slice(0, 2);
  };
  try {
    const frames = walk(window);
    for (;;) {
      const step = await frames.next();
      if (step.done) {
        if (step.value.cut) run.truncated();
        break;
      }
      const { header, bytes, afterGap } = step.value;
      if (header.sampleRate !== s.first.sampleRate || header.mono !== s.first.mono) {
        run.damaged();
        continue;
      }
      if (afterGap) run.damaged();
      batch.set(bytes, filled);
      filled += bytes.length;
      seconds += header.samples / header.sampleRate;
      if (filled >= BATCH || seconds >= BATCH_SECONDS) {
        const block = flush();
        run.at(window.position);
        if (block) yield block;
      }
    }
    const block = flush();
    run.at(window.position);
    if (block) yield block;
  } finally {
    decoder.free();
  }
}

export const openMp3: OpenReading = async (source, start) => {
  const s = await survey(source, start);
  const { seconds, exact } = durationOf(s);
  const bitrate =
    exact && seconds
      ? ((s.audioEnd - s.audioStart) * 8) / seconds
      : s.meanBitrate > 0
        ? s.meanBitrate * 1000
        : null;
  return {
    format: {
      container: s.first.layer === 3 ? 'mp3' : `mp${s.first.layer}`,
      codec: s.first.layer === 3 ? 'mp3' : `mp${s.first.layer}`,
      lossless: false,
      sampleRate: s.first.sampleRate,
      channels: s.first.mono ? 1 : 2,
      bitDepth: null,
      bitrate: bitrate === null ? null : Math.round(bitrate),
    },
    declaredDuration: seconds,
    durationIsExact: exact,
    ownBlocks: true,
    decode: (run) => decodeFrames(source, start, s, run),
  };
};
