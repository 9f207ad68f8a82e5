/**
 * Generated songs for fitting and judging the grid, each as the grid's own features with what is true of it. Features are
 * kept in .cache/grid-features/, under a mark of the sources that make them, so that a second run takes seconds.
 */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { deserialize, serialize } from 'node:v8';
import type { GridFeatures } from '../../workers/stages/grid/features.ts';
import { FrontEnd } from '../../workers/stages/grid/front-end.ts';

/** What is true of a song. */
export interface SongTruth {
  /** Group in the tables. */
  style: string;
  bpm: number;
  /** Every beat, s. */
  beats: number[];
  /** Place in the bar of the first beat. */
  firstBeatInBar: number;
  beatsPerBar: number;
}

export interface FeaturedSong extends SongTruth {
  name: string;
  features: GridFeatures;
}

/** A song that can be made. */
export interface SongRecipe {
  /** No two recipes share one. */
  name: string;
  /** Files and folders, from the top level, that decide how the song sounds. */
  sources: readonly string[];
  make(): SongTruth & { channels: Float32Array[]; sampleRate: number };
}

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const CACHE = join(ROOT, '.cache/grid-features');
const FRONT_END = ['front-end', 'chunk-sums', 'low-bands', 'harmony', 'biquad', 'features'].map(
  (name) => `workers/stages/grid/${name}.ts`,
);
const marks = new Map<readonly string[], string>();

/** The song's features, from the cache where they are there. */
export function featured({ name, sources, make }: SongRecipe): FeaturedSong {
  const folder = join(CACHE, markOf(sources));
  const file = join(folder, `${name}.bin`);
  if (existsSync(file)) return deserialize(readFileSync(file)) as FeaturedSong;
  const { channels, sampleRate, ...truth } = make();
  const frontEnd = new FrontEnd({ sampleRate, channels: channels.length });
  frontEnd.push(channels);
  const song: FeaturedSong = { name, ...truth, features: frontEnd.finish() };
  mkdirSync(folder, { recursive: true });
  writeFileSync(file, serialize(song));
  return song;
}

/** The song as if its file began `from` seconds later, on the beat or off it. */
export function cropped(song: FeaturedSong, from: number): FeaturedSong {
  const { features } = song;
  const { hop, harmony } = features;
  const frames = Math.round(from / hop);
  const start = frames * hop;
  const rows = Math.floor(start / harmony.hop);
  const lost = song.beats.filter((t) => t < start).length;
  return {
    ...song,
    beats: song.beats.slice(lost).map((t) => t - start),
    firstBeatInBar: (song.firstBeatInBar + lost) % song.beatsPerBar,
    features: {
      hop,
      frames: features.frames - frames,
      duration: features.duration - start,
      energy: features.energy.map((band) => band.subarray(frames)),
      harmony: {
        ...harmony,
        offset: harmony.offset + rows * harmony.hop - start,
        frames: harmony.frames - rows,
        data: harmony.data.subarray(rows * harmony.bins),
      },
    },
  };
}

function markOf(sources: readonly string[]): string {
  const known = marks.get(sources);
  if (known) return known;
  const hash = createHash('sha256');
  for (const path of [...sources, ...FRONT_END].flatMap(filesIn)) hash.update(readFileSync(join(ROOT, path)));
  const mark = hash.digest('hex').slice(0, 12);
  marks.set(sources, mark);
  return mark;
}

function filesIn(path: string): string[] {
  if (!statSync(join(ROOT, path)).isDirectory()) return [path];
  return readdirSync(join(ROOT, path))
    .sort()
    .flatMap((name) => filesIn(join(path, name)))
    .filter((file) => file.endsWith('.ts'));
}
