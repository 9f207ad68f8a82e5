/**
 * Booth-safe copies: any readable file as WAV or AIFF. Two runs over the original, so that nothing is held in
 * memory: the first measures, the second writes. The original is only read.
 */
import { ExchangeFault } from '../../shared/exchange/types.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import { openTrack } from '../decode/open.ts';
import { readAllTags, titleFromName } from '../decode/tags.ts';
import type { ByteSource } from '../decode/types.ts';
import { writeMarkersCopy } from '../write/copy.ts';
import { bytesOfCopy } from '../write/parts.ts';
import type { MarkersCopy } from '../write/types.ts';
import { layOut, layoutSource, type FileLayout } from './layout.ts';
import { measure, type Levels, type Measured } from './measure.ts';
import { isPlain } from './original.ts';
import { planCopy, type CopyPlan } from './plan.ts';
import { hasPhaseBank } from './polyphase.ts';
import { Quantiser } from './quantise.ts';
import { openSamples } from './samples.ts';
import * as say from './sentences.ts';
import { carriedTags, MOST_COVER_BYTES } from './tags.ts';
import {
  CopyFault,
  type CopyContainer,
  type CopyKind,
  type CopyReport,
  type CopyWish,
  type LevelRule,
} from './types.ts';

/** dBTP: above this, converters further on may distort. Ours; EBU R 128 asks −1 dBTP of programmes, which is for broadcast. */
export const CEILING_DB = -0.3;
const ENDINGS = { wav: '.wav', aiff: '.aiff' } as const;
/** Of all work, the share that the first run takes: it measures both signals. */
const FIRST_RUN = 0.5;
const DEFAULT_SEED = 1;

export interface CopyOptions {
  /** The person's markers; they stand in the copy instead of those of the file. None given: the file's own stay where its bytes do. */
  markers?: readonly Marker[];
  level?: LevelRule;
  /** Title of the copy; by default that of the original. */
  title?: string;
  /** A larger cover is left out. */
  mostCoverBytes?: number;
  /** Of the dither. */
  seed?: number;
  signal?: AbortSignal;
  /** Share of all work, 0..1, never falling. */
  onProgress?: (share: number) => void;
}

/** A copy that has been measured and planned and can be written now. */
export interface PreparedCopy {
  report: CopyReport;
  /** bytes */
  size: number;
  /**
   * Its bytes, in order, `size` altogether; may be run again.
   * @throws CopyFault when the original has changed, DecodeFault when it cannot be read any more
   */
  bytes(): AsyncGenerator<Uint8Array<ArrayBufferLike>, void, void>;
}

/** Name of a copy, without a folder; not yet safe for every disk. */
export const copyFileName = (name: string, container: CopyContainer) =>
  titleFromName(name) + ENDINGS[container];

const inDb = (level: number) => 20 * Math.log10(level);

/**
 * Measures the file and plans its copy.
 * @throws DecodeFault when the file cannot be read, CopyFault when no such copy can be made, DOMException
 *   `AbortError` when aborted
 */
export async function prepareCopy(
  source: ByteSource,
  wish: CopyWish,
  options: CopyOptions = {},
): Promise<PreparedCopy> {
  const { signal, onProgress } = options;
  const { format } = await openTrack(source, { signal });
  const plan = planCopy(format, wish);
  if (plan.resample && !hasPhaseBank(format.sampleRate, wish.rate)) {
    throw new CopyFault(say.oddRate(source.name, format.sampleRate));
  }
  const measured = await measure(source, {
    sourceRate: format.sampleRate,
    rate: wish.rate,
    depth: wish.depth,
    channels: plan.channels,
    signal,
    onProgress: (share) => onProgress?.(share * FIRST_RUN),
  });
  const { left, ...found } = await readAllTags(source);
  const mostCoverBytes = Math.min(MOST_COVER_BYTES, options.mostCoverBytes ?? Infinity);
  const tags = { ...found, title: options.title || found.title, mostCoverBytes };
  // What is to be left out or told anew cannot be the original's bytes.
  const heavy = (tags.cover?.bytes.length ?? 0) > (options.mostCoverBytes ?? Infinity);
  const retold = tags.title !== found.title || heavy;
  const same = plan.fits && !measured.partial && !retold && (await isPlain(source));
  const kind: CopyKind = same ? 'unchanged' : measured.onSteps ? 'exact' : 'converted';
  const gain = kind === 'converted' && options.level !== 'keep' ? safeGain(measured.after) : 1;
  const notes = notesOf(plan, measured, kind, gain, format.channels, format.lossless);
  if (!same && tags.cover && tags.cover.bytes.length > mostCoverBytes) notes.push(say.coverLeftOut());
  if (!same && left.length) notes.push(say.tagsLeftOut(left));
  const duration = measured.frames / wish.rate;

  const layout =
    kind === 'unchanged'
      ? null
      : layOut({ ...wish, channels: plan.channels, frames: measured.frames, tags, name: source.name });
  const base = layout ? layoutSource(layout, source.name) : source;
  const marked = await withMarkers(base, options.markers ?? [], duration, notes);
  const dithered = kind === 'converted';
  const report: CopyReport = {
    name: source.name,
    fileName: copyFileName(source.name, wish.container),
    kind,
    before: { ...levelsDb(measured.before, 1), format, bytes: source.size },
    after: {
      ...levelsDb(measured.after, gain),
      container: wish.container,
      depth: wish.depth,
      rate: wish.rate,
      channels: plan.channels,
      bytes: marked.copy.size,
    },
    duration,
    resampled: plan.resample,
    gainDb: gain === 1 ? 0 : inDb(gain),
    dithered,
    clipped: 0,
    carried: { ...carriedTags(tags), markers: marked.count },
    notes,
  };
  const second = (share: number) => onProgress?.(FIRST_RUN + share * (1 - FIRST_RUN));
  return {
    report,
    size: marked.copy.size,
    bytes: () =>
      layout
        ? writtenBytes(source, layout, marked.copy, report, gain, options, second)
        : originalBytes(source, marked.copy, signal, second),
  };
}

/** The gain that brings the true peak under the ceiling; never above 1. */
function safeGain({ truePeak }: Levels): number {
  const ceiling = 10 ** (CEILING_DB / 20);
  return truePeak > ceiling ? ceiling / truePeak : 1;
}

const levelsDb = ({ peak, truePeak }: Levels, gain: number) => ({
  peakDb: inDb(peak * gain),
  truePeakDb: inDb(truePeak * gain),
});

function notesOf(
  plan: CopyPlan,
  { after, partial }: Measured,
  kind: CopyKind,
  gain: number,
  channels: number,
  lossless: boolean,
): string[] {
  const notes: string[] = [];
  if (partial) notes.push(say.partly(partial.sentence));
  if (gain < 1) notes.push(say.turnedDown(inDb(gain), CEILING_DB));
  else if (kind !== 'converted' && inDb(after.truePeak) > CEILING_DB) {
    notes.push(say.hotButKept(inDb(after.truePeak)));
  }
  if (channels > plan.channels) notes.push(say.frontOnly(channels));
  if (!lossless) notes.push(say.lossyBefore());
  return notes;
}

/** Markers that cannot be written do not keep the audio from being copied. */
async function withMarkers(
  base: ByteSource,
  markers: readonly Marker[],
  duration: number,
  notes: string[],
): Promise<{ copy: MarkersCopy; count: number }> {
  const plain = { parts: [{ from: 0, to: base.size }], size: base.size, notes: [] };
  if (markers.length === 0) return { copy: plain, count: 0 };
  try {
    const copy = await writeMarkersCopy(base, markers, { fileName: base.name, duration });
    notes.push(...copy.notes);
    return { copy, count: markers.length };
  } catch (error) {
    if (!(error instanceof ExchangeFault)) throw error;
    notes.push(say.markersLeftOut(error.message));
    return { copy: plain, count: 0 };
  }
}

type Bytes = AsyncGenerator<Uint8Array<ArrayBufferLike>, void, void>;

async function* originalBytes(
  source: ByteSource,
  copy: MarkersCopy,
  signal: AbortSignal | undefined,
  onProgress: (share: number) => void,
): Bytes {
  let written = 0;
  for await (const piece of bytesOfCopy(source, copy)) {
    signal?.throwIfAborted();
    written += piece.length;
    yield piece;
    onProgress(Math.min(1, written / copy.size));
  }
  if (written !== copy.size) throw new CopyFault(say.changedMeanwhile(source.name));
}

async function* writtenBytes(
  source: ByteSource,
  { head, samples, tail }: FileLayout,
  copy: MarkersCopy,
  report: CopyReport,
  gain: number,
  options: CopyOptions,
  onProgress: (share: number) => void,
): Bytes {
  const behind = head.length + samples;
  for (const part of copy.parts) {
    options.signal?.throwIfAborted();
    if (part instanceof Uint8Array) {
      yield part;
      continue;
    }
    // The samples are one chunk, which is never cut in two.
    if (part.from < head.length) yield head.slice(part.from, Math.min(part.to, head.length));
    if (part.from <= head.length && part.to >= behind) {
      yield* sampleBytes(source, samples, report, gain, options, onProgress);
    }
    if (part.to > behind) yield tail.slice(Math.max(0, part.from - behind), part.to - behind);
  }
  onProgress(1);
}

async function* sampleBytes(
  source: ByteSource,
  samples: number,
  report: CopyReport,
  gain: number,
  { signal, seed = DEFAULT_SEED }: CopyOptions,
  onProgress: (share: number) => void,
): Bytes {
  const { container, depth, rate, channels } = report.after;
  const quantiser = new Quantiser({ container, depth, gain, dither: report.dithered, seed });
  const { blocks } = await openSamples(source, { rate, channels, signal, onProgress });
  let written = 0;
  for await (const block of blocks) {
    const bytes = quantiser.push(block);
    written += bytes.length;
    if (written > samples) break;
    yield bytes;
  }
  if (written !== samples) throw new CopyFault(say.changedMeanwhile(source.name));
  if (quantiser.clipped > 0 && report.clipped === 0) {
    report.notes.push(say.clippedSamples(quantiser.clipped));
  }
  report.clipped = quantiser.clipped;
}
