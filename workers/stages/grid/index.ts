/**
 * The beat grid of a track. Samples go through a cheap filter bank (front-end.ts); everything else happens
 * once the track has ended, on its onset curves.
 */
import type { BeatGrid } from '../../../shared/grid/grid.ts';
import type { Stage, StreamInfo } from '../stage.ts';
import type { GridFeatures } from './features.ts';
import { findGrid } from './find.ts';
import { FrontEnd } from './front-end.ts';
import { resolvePrior, type GridOptions } from './options.ts';

export { priorAround } from './options.ts';
export type { GridOptions, TempoPrior } from './options.ts';

/**
 * A stage that finds tempo, beats, downbeats and phrases.
 * @returns a stage; `finish()` gives a grid of kind `none` for silence, speech and other music without a beat
 */
export function createGridStage(info: StreamInfo, options: GridOptions = {}): Stage<BeatGrid> {
  const prior = resolvePrior(options);
  const frontEnd = new FrontEnd(info);
  return {
    push: (block) => frontEnd.push(block),
    finish: () => findGrid(frontEnd.finish(), prior).grid,
  };
}

/** The grid from collected features. */
export function gridFromFeatures(features: GridFeatures, options: GridOptions = {}): BeatGrid {
  return findGrid(features, resolvePrior(options)).grid;
}
