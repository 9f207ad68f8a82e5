/** What is in force of a track: the person's corrections, else the analysis. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import type { EditedGrid } from '../../shared/grid/edit-model.ts';
import type { EditedSection } from '../../shared/sections/edit.ts';
import type { Corrections } from './records.ts';

export interface Corrected {
  grid: EditedGrid;
  sections: EditedSection[];
}

export const corrected = (
  { grid, sections }: Pick<TrackAnalysis, 'grid' | 'sections'>,
  edit: Pick<Corrections, 'grid' | 'sections'> | null,
): Corrected => ({ grid: edit?.grid ?? grid, sections: edit?.sections ?? sections });
