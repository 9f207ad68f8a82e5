/** Tracks made of numbers for the display tests: levels per fine hop, the pyramid above them, and a grid. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { LAYERS } from '../../shared/bands.ts';
import type { DisplayColumns } from '../../shared/display/columns.ts';
import type { BeatGrid } from '../../shared/grid/grid.ts';
import { noGrid } from '../../shared/grid/grid.ts';
import { REDUCTION, TARGET_HOP_SECONDS } from '../../shared/pyramid.ts';
import type { Pyramid, PyramidLevel } from '../../shared/pyramid.ts';

export type Track = Pick<TrackAnalysis, 'pyramid' | 'grid' | 'duration'>;

/** Level of one layer at fine hop `i`; the layers are bass, middle, treble, full. */
export type LevelAt = (layer: number, i: number) => { peak: number; rms: number };

/** The layer of the whole signal. */
export const FULL = 3;

export function pyramidOf(duration: number, levelAt: LevelAt, hop = TARGET_HOP_SECONDS): Pyramid {
  const length = Math.ceil(duration / hop - 1e-9);
  const fine = (take: 'peak' | 'rms') =>
    LAYERS.map((_, layer) => Float32Array.from({ length }, (_, i) => levelAt(layer, i)[take]));
  const levels: PyramidLevel[] = [{ hop, length, peak: fine('peak'), rms: fine('rms') }];
  while (levels[levels.length - 1].length > 1) levels.push(above(levels[levels.length - 1]));
  return { duration, levels };
}

function above(below: PyramidLevel): PyramidLevel {
  const length = Math.ceil(below.length / REDUCTION);
  const joined = (values: Float32Array, join: (part: Float32Array) => number) =>
    Float32Array.from({ length }, (_, i) => join(values.subarray(i * REDUCTION, (i + 1) * REDUCTION)));
  return {
    hop: below.hop * REDUCTION,
    length,
    peak: below.peak.map((layer) => joined(layer, (part) => Math.max(...part))),
    rms: below.rms.map((layer) =>
      joined(layer, (part) => Math.sqrt(part.reduce((sum, x) => sum + x * x, 0) / part.length)),
    ),
  };
}

/** A fixed sequence of numbers 0..1 (a linear congruential generator with the constants of Numerical Recipes). */
export function sequence(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Random levels, a quarter of them silent. */
export function randomLevels(seed: number): LevelAt {
  return (layer, i) => {
    const next = sequence(seed * 7919 + layer * 104729 + i * 31);
    next();
    if (next() < 0.25) return { peak: 0, rms: 0 };
    const peak = next();
    return { peak, rms: peak * next() * Math.SQRT1_2 };
  };
}

export function constantGrid(bpm: number, endTime: number, changes: Partial<BeatGrid> = {}): BeatGrid {
  return {
    ...noGrid(endTime),
    kind: 'constant',
    segments: [{ startBeat: 0, startTime: 0.1, bpm }],
    confidence: 1,
    downbeatConfidence: 1,
    ...changes,
  };
}

export function trackOf(duration: number, levelAt: LevelAt, grid = noGrid(duration)): Track {
  return { duration, pyramid: pyramidOf(duration, levelAt), grid };
}

/** Everything that a display shows, as one text: comparing texts is much faster than comparing typed arrays. */
export function print(columns: DisplayColumns | null): string {
  if (!columns) return 'nothing';
  const { heights, colours, gridLines, ...rest } = columns;
  return [
    JSON.stringify(rest),
    ...heights.map((layer) => layer.join(' ')),
    colours.join(' '),
    ...gridLines.map((line) => `${line.kind} ${line.time}`),
  ].join('\n');
}
