/**
 * The whole analysis of one file: reads, decodes, feeds every stage one block at a time and drops the block, so
 * that memory does not grow with the audio. Runs the same in a worker and under Node.
 */
import { ANALYSIS_VERSION, type SourceFormat, type TrackAnalysis } from '../shared/analysis.ts';
import type { Pyramid } from '../shared/pyramid.ts';
import type { TrackTags } from '../shared/tags.ts';
import { openTrack } from './decode/open.ts';
import { noAudioTrack } from './decode/sentences.ts';
import { guarded } from './decode/source.ts';
import { readTags } from './decode/tags.ts';
import { type ByteSource, DecodeFault, type OpenTrack } from './decode/types.ts';
import { hashingSource } from './hashing-source.ts';
import { createKeepFinite } from './stages/finite.ts';
import { type StageOptions, type Stages, createStages } from './stages/index.ts';
import { estimateKey } from './stages/key/index.ts';
import { levelsOf } from './stages/levels.ts';
import type { Preview } from './stages/preview.ts';
import { release } from './release.ts';
import type { Stage } from './stages/stage.ts';
import { findSections } from './stages/structure/index.ts';
import { eventTurn } from './turn.ts';

/** Share of the file at which the first early picture is given, and between two of them. */
const FIRST_EARLY_SHARE = 0.04;
const EARLY_STEP = 0.1;
/** Most columns of an early picture. */
const EARLY_COLUMNS = 800;
/** Frames that go through all stages at once: few enough that they stay in the processor's fast memory. */
export const PIECE_FRAMES = 4096;
/** Share of the progress that reading stands for; the rest is what happens after the last block. */
const READING_SHARE = 0.9;

/** What is known of a track while it is still being read. */
export interface EarlyTrack {
  /** The levels so far; its duration is how far they reach. */
  pyramid: Pyramid;
  /** Duration of the whole track as far as it can be told by now, s. */
  expectedDuration: number;
  tags: TrackTags;
  source: SourceFormat;
}

export interface AnalyseOptions extends StageOptions {
  /** Called with a share 0..1 that never falls; 1 only when everything is done. */
  onProgress?: (share: number) => void;
  /** Called a few times while the file is read, first after a small part of it. */
  onEarly?: (early: EarlyTrack) => void;
  /** Stops the analysis: the promise is rejected with the signal's reason. */
  signal?: AbortSignal;
}

export interface AnalysedTrack {
  analysis: TrackAnalysis;
  tags: TrackTags;
  /** SHA-256 of the file's bytes, hex. */
  hash: string;
  preview: Preview;
}

/**
 * Analyses one file.
 * @throws DecodeFault with a sentence for the person when nothing can be made of the file
 * @throws the signal's reason when it was aborted
 */
export async function analyseTrack(source: ByteSource, options: AnalyseOptions = {}): Promise<AnalysedTrack> {
  const { signal } = options;
  const progress = risingProgress(options.onProgress);
  const file = await hashingSource(guarded(source));
  const tags = await readTags(file);
  signal?.throwIfAborted();
  let share = 0;
  const track = await openTrack(file, {
    signal,
    onProgress(read) {
      share = read;
      progress(read * READING_SHARE);
    },
  });
  const early = earlyPictures(track, tags, options.onEarly);
  const { stages, frames } = await feedStages(track, options, (s, seconds) => early(s, share, seconds));
  if (!stages) throw new DecodeFault('empty', noAudioTrack(source.name));
  const hash = await file.digest();
  signal?.throwIfAborted();
  const duration = frames / track.format.sampleRate;
  const results = await finishStages(stages, duration, () => messageTurn(signal));
  const analysis: TrackAnalysis = {
    version: ANALYSIS_VERSION,
    source: track.format,
    duration,
    ...levelsOf(results.pyramid),
    partial: track.partial,
    pyramid: results.pyramid,
    grid: results.grid,
    sections: results.sections,
    key: results.key,
    loudness: results.loudness,
  };
  progress(1);
  return { analysis, tags, hash, preview: results.preview };
}

/** Runs all blocks of a track through fresh stages. `stages` is null when there was no block. */
async function feedStages(
  track: OpenTrack,
  options: AnalyseOptions,
  afterBlock: (stages: Stages, seconds: number) => void,
): Promise<{ stages: Stages | null; frames: number }> {
  const { sampleRate } = track.format;
  const keepFinite = createKeepFinite();
  let stages: Stages | null = null;
  let list: Stage<unknown>[] = [];
  let frames = 0;
  for await (const block of track.blocks()) {
    options.signal?.throwIfAborted();
    const length = block[0]?.length ?? 0;
    if (length === 0) continue;
    if (!stages) {
      stages = createStages({ sampleRate, channels: block.length }, options);
      list = Object.values(stages);
    }
    for (let from = 0; from < length; from += PIECE_FRAMES) {
      const piece = block.map((channel) => channel.subarray(from, from + PIECE_FRAMES));
      keepFinite(piece);
      for (const stage of list) stage.push(piece);
    }
    if (track.ownBlocks) block.forEach(release);
    frames += length;
    afterBlock(stages, frames / sampleRate);
  }
  return { stages, frames };
}

/**
 * After the last block: each stage's own result, then what is made from several of them. One way only. The grid, which
 * takes the most memory to find, comes before what others add to theirs.
 * @param turn called between the longer steps; ends the work by throwing
 */
async function finishStages(stages: Stages, duration: number, turn: () => Promise<void>) {
  const preview = stages.preview.finish();
  await turn();
  const grid = stages.grid.finish();
  await turn();
  const loudness = stages.loudness.finish();
  const pyramid = stages.pyramid.finish();
  const harmony = stages.harmony.finish();
  const key = estimateKey(harmony, grid);
  const sections = findSections(harmony, pyramid, grid, duration);
  return { pyramid, preview, loudness, grid, sections, key };
}

/** Lets a message through (a cancel perhaps), then throws the signal's reason if it was aborted. */
async function messageTurn(signal: AbortSignal | undefined): Promise<void> {
  await eventTurn();
  signal?.throwIfAborted();
}

/** Gives out early pictures as the share of the file that has been read passes each step. */
function earlyPictures(track: OpenTrack, tags: TrackTags, onEarly: AnalyseOptions['onEarly']) {
  let next = FIRST_EARLY_SHARE;
  return (stages: Stages, share: number, seconds: number): void => {
    if (!onEarly || share < next || share >= 1) return;
    next = Math.max(next, share) + EARLY_STEP;
    onEarly({
      pyramid: stages.pyramid.snapshot(EARLY_COLUMNS),
      expectedDuration: Math.max(seconds, track.declaredDuration ?? seconds / share),
      tags,
      source: track.format,
    });
  };
}

function risingProgress(report: ((share: number) => void) | undefined): (share: number) => void {
  let last = -1;
  return (share) => {
    const bounded = Math.min(1, Math.max(0, share));
    if (bounded <= last) return;
    last = bounded;
    report?.(bounded);
  };
}
