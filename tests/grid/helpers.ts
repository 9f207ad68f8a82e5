/** Running the grid stage in tests. */
import { beatsBetween, type BeatGrid } from '../../shared/grid/grid.ts';
import { createGridStage, type GridOptions } from '../../workers/stages/grid/index.ts';
import { nearest } from './metrics.ts';

/** The grid of some samples (one array per channel), pushed in blocks of `blockLength`. */
export function gridOf(
  channels: Float32Array[],
  sampleRate: number,
  options: GridOptions = {},
  blockLength = 4608,
): BeatGrid {
  const stage = createGridStage({ sampleRate, channels: channels.length }, options);
  for (let i = 0; i < channels[0].length; i += blockLength) {
    stage.push(channels.map((c) => c.subarray(i, i + blockLength)));
  }
  return stage.finish();
}

/** Beat times over the stretch that the annotations cover. */
export function beatTimes(grid: BeatGrid, annotations: readonly number[]): number[] {
  const margin = 0.05;
  return beatsBetween(grid, annotations[0] - margin, annotations[annotations.length - 1] + margin).map(
    (b) => b.time,
  );
}

/** Larger distance of the first and of the last annotation from the grid, s. */
export function endDeviation(grid: BeatGrid, annotations: readonly number[]): number {
  const beats = beatTimes(grid, annotations);
  if (!beats.length) return Infinity;
  const off = (t: number) => Math.abs(beats[nearest(beats, t)] - t);
  return Math.max(off(annotations[0]), off(annotations[annotations.length - 1]));
}
