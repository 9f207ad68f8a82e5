/**
 * The table of stages: every stage that sees the samples of a track. What a stage needs from other stages'
 * results is joined in workers/analyse.ts after the last block.
 */
import { createPreviewStage } from './preview.ts';
import { createPyramidStage } from './pyramid.ts';
import type { StreamInfo } from './stage.ts';

/** What a person can set about the analysis. */
export type StageOptions = Record<string, never>;

export const STAGES = {
  pyramid: (info: StreamInfo) => createPyramidStage(info),
  preview: (info: StreamInfo) => createPreviewStage(info),
};

export type StageName = keyof typeof STAGES;
export type Stages = { [Name in StageName]: ReturnType<(typeof STAGES)[Name]> };

/** One fresh stage of each kind. */
export function createStages(info: StreamInfo): Stages {
  return Object.fromEntries(Object.entries(STAGES).map(([name, create]) => [name, create(info)])) as Stages;
}
