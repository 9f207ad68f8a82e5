/**
 * The table of stages: every stage that sees the samples of a track. What a stage needs from other stages'
 * results is joined in workers/analyse.ts after the last block.
 */
import { type GridOptions, createGridStage } from './grid/index.ts';
import { createHarmonyStage } from './key/index.ts';
import { createLoudnessStage } from './loudness/index.ts';
import { createPreviewStage } from './preview.ts';
import { createPyramidStage } from './pyramid.ts';
import type { Stage, StreamInfo } from './stage.ts';

/** What a person can set about the analysis. */
export type StageOptions = GridOptions;

export const STAGES = {
  pyramid: (info: StreamInfo) => createPyramidStage(info),
  preview: (info: StreamInfo) => createPreviewStage(info),
  grid: (info: StreamInfo, options: StageOptions) => createGridStage(info, options),
  harmony: (info: StreamInfo) => createHarmonyStage(info),
  loudness: (info: StreamInfo) => createLoudnessStage(info),
} satisfies Record<string, (info: StreamInfo, options: StageOptions) => Stage<unknown>>;

export type StageName = keyof typeof STAGES;
export type Stages = { [Name in StageName]: ReturnType<(typeof STAGES)[Name]> };

/** One fresh stage of each kind. */
export function createStages(info: StreamInfo, options: StageOptions = {}): Stages {
  const table: Record<string, (info: StreamInfo, options: StageOptions) => Stage<unknown>> = STAGES;
  return Object.fromEntries(
    Object.entries(table).map(([name, create]) => [name, create(info, options)]),
  ) as Stages;
}
