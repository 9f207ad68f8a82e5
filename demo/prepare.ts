/**
 * Makes the demo set where the page is served from: `npm run demo`. What is there already and was made from
 * the same sources is kept, so a second run returns at once.
 */
import { createHash } from 'node:crypto';
import { mkdir, readdir, rename, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import type { TrackSpec } from './arrange/spec.ts';
import { fingerprint } from './fingerprint.ts';
import {
  isComplete,
  MANIFEST_FILE,
  MANIFEST_VERSION,
  readJson,
  sizeOf,
  type Manifest,
  type ManifestTrack,
  type TruthFile,
} from './manifest.ts';
import { SCENARIO } from './scenario.ts';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
/** Where the set is put, below the folder of the project. */
export const DEMO_FOLDER = '.cache/public/demo';

/** What the audio depends on, and what the analyses depend on besides. */
const AUDIO_SOURCES = ['demo', 'shared/grid/grid.ts'];
const ANALYSIS_SOURCES = ['shared', 'workers', 'package-lock.json'];

/** Ending of a file that is still being written. */
const PART = '.part';
/** Parts older than this belong to no run that is still going. */
const STALE_PART_MS = 3600_000;

export interface PrepareOptions {
  /** Default: the folder that the page is served from */
  folder?: string;
  /** Default: the tracks of the scenario */
  tracks?: TrackSpec[];
  /** Takes one line of progress. Default: prints it */
  log?: (line: string) => void;
}

/** Renders and analyses what is missing. Resolves to the manifest's path. */
export async function prepareDemo(options: PrepareOptions = {}): Promise<string> {
  const { folder = join(ROOT, DEMO_FOLDER), tracks = SCENARIO.tracks, log = console.log } = options;
  const path = join(folder, MANIFEST_FILE);
  const audioPrint = await fingerprint(ROOT, AUDIO_SOURCES);
  const print = await fingerprint(ROOT, [...AUDIO_SOURCES, ...ANALYSIS_SOURCES]);
  if (await isComplete(folder, print)) {
    log(`Demo set: ready (${tracks.length} tracks).`);
    return path;
  }
  await mkdir(folder, { recursive: true });
  // Without its manifest a half-made set is never taken for a whole one.
  await rm(path, { force: true });
  const entries: ManifestTrack[] = [];
  for (const [n, spec] of tracks.entries()) {
    const place = `Demo set ${n + 1}/${tracks.length}: ${spec.title}`;
    const started = Date.now();
    const rendered = await audioOf(spec, folder, audioPrint);
    const between = Date.now();
    entries.push(await analysisOf(spec, folder, rendered.truth));
    const parts = [
      rendered.fresh ? `rendered in ${seconds(between - started)}` : 'audio kept',
      `analysed in ${seconds(Date.now() - between)}`,
    ];
    log(`${place}: ${parts.join(', ')}`);
  }
  await sweepFolder(folder, entries);
  const manifest: Manifest = { version: MANIFEST_VERSION, fingerprint: print, tracks: entries };
  await writeWhole(path, JSON.stringify(manifest, null, 1));
  log(`Demo set: ready (${tracks.length} tracks).`);
  return path;
}

const audioFile = (spec: TrackSpec) => `${spec.id}.wav`;
const truthFile = (spec: TrackSpec) => `${spec.id}.truth.json`;
const analysisFile = (spec: TrackSpec) => `${spec.id}.analysis.bin`;

/** Renders a track unless its file is there already. The truth is written last and vouches for the audio. */
async function audioOf(
  spec: TrackSpec,
  folder: string,
  print: string,
): Promise<{ truth: TruthFile['truth']; fresh: boolean }> {
  // Loaded late, so that a run with nothing to do is over at once.
  const { renderTrack, SAMPLE_RATE } = await import('./render.ts');
  const { encodeWav } = await import('./wav.ts');
  const { mulberry32, seedFrom } = await import('./synth/prng.ts');
  const own = fingerprintOf(print, spec);
  const there = await readJson<TruthFile>(join(folder, truthFile(spec)));
  if (there?.fingerprint === own && (await sizeOf(join(folder, audioFile(spec)))) === there.bytes) {
    return { truth: there.truth, fresh: false };
  }
  await rm(join(folder, truthFile(spec)), { force: true });
  const { left, right, truth } = renderTrack(spec);
  const { id, title, artist, genre } = spec;
  const tags = {
    INAM: title,
    IART: artist,
    IGNR: genre,
    ICRD: String(spec.year),
    ICMT: `Made up for the demo set. Label: ${spec.label}`,
  };
  const dither = mulberry32(seedFrom('dither', id, spec.seed));
  const bytes = encodeWav(left, right, SAMPLE_RATE, tags, dither);
  await writeWhole(join(folder, audioFile(spec)), bytes);
  const file: TruthFile = { fingerprint: own, bytes: bytes.length, id, title, artist, genre, truth };
  await writeWhole(join(folder, truthFile(spec)), JSON.stringify(file));
  return { truth, fresh: true };
}

function fingerprintOf(print: string, spec: TrackSpec): string {
  return createHash('sha256').update(print).update(JSON.stringify(spec)).digest('hex');
}

/** Runs the analysis of the app over the rendered file and stores it beside it. */
async function analysisOf(
  spec: TrackSpec,
  folder: string,
  truth: TruthFile['truth'],
): Promise<ManifestTrack> {
  const { analyseTrack } = await import('../workers/analyse.ts');
  const { fileSource } = await import('../workers/decode/node-source.ts');
  const { encodeAnalysis } = await import('../shared/analysis-codec.ts');
  const source = await fileSource(join(folder, audioFile(spec)));
  try {
    const { analysis, tags, hash } = await analyseTrack(source);
    const bytes = encodeAnalysis(analysis);
    await writeWhole(join(folder, analysisFile(spec)), bytes);
    return {
      id: spec.id,
      file: audioFile(spec),
      title: spec.title,
      artist: spec.artist,
      genre: spec.genre,
      duration: truth.duration,
      bytes: source.size,
      truth: truthFile(spec),
      analysis: analysisFile(spec),
      analysisBytes: bytes.length,
      hash,
      tags,
    };
  } finally {
    await source.close();
  }
}

/** Writes under another name and renames, so that no reader and no later run meets half a file. */
async function writeWhole(path: string, content: Uint8Array | string): Promise<void> {
  const part = `${path}.${process.pid}${PART}`;
  await writeFile(part, content);
  await rename(part, path);
}

/** Removes tracks that have left the set and what interrupted runs have left behind. */
async function sweepFolder(folder: string, entries: ManifestTrack[]): Promise<void> {
  const wanted = new Set(entries.flatMap((entry) => [entry.file, entry.truth, entry.analysis]));
  for (const name of await readdir(folder)) {
    const path = join(folder, name);
    if (name.endsWith(PART)) {
      const age = await stat(path).then(
        (info) => Date.now() - info.mtimeMs,
        () => 0,
      );
      if (age > STALE_PART_MS) await rm(path, { force: true });
    } else if (!wanted.has(name)) await rm(path, { force: true, recursive: true });
  }
}

const seconds = (ms: number) => `${(ms / 1000).toFixed(1)} s`;

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  await prepareDemo();
}
