/** Ogg with Vorbis, Opus or FLAC: the first stream of audio in the file. RFC 3533, RFC 5334. */
import type { SourceFormat } from '../../../shared/analysis.ts';
import type { OpenReading, Run } from '../reading.ts';
import { damaged, noAudioTrack, unsupportedCodec } from '../sentences.ts';
import { DecodeFault, type Block, type ByteSource } from '../types.ts';
import { decodeOggFlac } from './flac.ts';
import { decodeOpus, OPUS_RATE } from './opus.ts';
import { lastGranule, walkPages, type Page } from './pages.ts';
import { foreignName, parseHead, type StreamHead } from './streams.ts';
import { decodeVorbis } from './vorbis.ts';

interface Found {
  head: StreamHead;
  serial: number;
}

/** All first pages stand before any other (RFC 3533 section 4). */
async function findStream(source: ByteSource, start: number): Promise<Found> {
  let foreign: string | null = null;
  let any = false;
  for await (const page of walkPages(source, start, () => {})) {
    if (!page.isFirst) break;
    const packet = page.packets[0];
    if (!packet) continue;
    any = true;
    const head = parseHead(packet);
    if (head) return { head, serial: page.serial };
    foreign ??= foreignName(packet);
  }
  if (foreign) throw new DecodeFault('unsupported-codec', unsupportedCodec(source.name, foreign));
  if (any) throw new DecodeFault('unsupported-codec', noAudioTrack(source.name));
  throw new DecodeFault('damaged', damaged(source.name));
}

/** The pages of one stream up to its end; reports a file that ends before the stream does. */
async function* pagesOf(
  source: ByteSource,
  start: number,
  serial: number,
  run: Run,
): AsyncGenerator<Page, void, void> {
  const pages = walkPages(source, start, run.at);
  let complete = false;
  for (;;) {
    const step = await pages.next();
    if (step.done) break;
    if (step.value.serial !== serial) continue;
    complete = step.value.isLast;
    yield step.value;
    if (complete) break;
  }
  await pages.return({ cut: false });
  if (!complete) run.truncated();
}

function formatOf(head: StreamHead): SourceFormat {
  if (head.codec === 'flac') {
    const { sampleRate, channels, bits } = head.info;
    return {
      container: 'ogg',
      codec: 'flac',
      lossless: true,
      sampleRate,
      channels,
      bitDepth: bits,
      bitrate: null,
    };
  }
  return {
    container: 'ogg',
    codec: head.codec,
    lossless: false,
    sampleRate: head.codec === 'opus' ? OPUS_RATE : head.sampleRate,
    channels: head.channels,
    bitDepth: null,
    bitrate: null,
  };
}

function decodeStream(
  pages: AsyncGenerator<Page, void, void>,
  head: StreamHead,
  run: Run,
): AsyncGenerator<Block> {
  if (head.codec === 'opus') return decodeOpus(pages, head, run);
  if (head.codec === 'vorbis') return decodeVorbis(pages, head, run);
  return decodeOggFlac(pages, head, run);
}

export const openOgg: OpenReading = async (source, start) => {
  const { head, serial } = await findStream(source, start);
  const format = formatOf(head);
  const last = await lastGranule(source, serial);
  let samples = last?.granule ?? 0;
  if (head.codec === 'opus') samples -= head.preSkip;
  if (head.codec === 'flac' && head.info.totalSamples > 0) samples = head.info.totalSamples;
  const duration = samples > 0 ? samples / format.sampleRate : null;
  const exact = head.codec === 'flac' && head.info.totalSamples > 0;
  if (duration) format.bitrate = Math.round((source.size * 8) / duration);
  return {
    format,
    declaredDuration: duration,
    durationIsExact: exact,
    decode: (run) => decodeStream(pagesOf(source, start, serial, run), head, run),
  };
};
