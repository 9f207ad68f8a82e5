/** Which tracks are sure enough that their grid and structure may judge a person. */
import type { EditedSection } from '../sections/edit.ts';
import { isNamed } from './structure.ts';
import type { Doubt, DrillTrack } from './types.ts';

/** Chance from which tempo and phase are taken to be right; the list marks tracks as unsure by the same one. Estimate. */
export const GRID_SURE = 0.8;
/** Chance from which the downbeat is. Estimate: with it at most one bar line in five judges wrongly. */
export const DOWNBEAT_SURE = 0.8;
/**
 * Strength from which one boundary is. Estimate: in the demo set every drop, breakdown and outro of the truth that
 * is found is found with more.
 */
export const BOUNDARY_SURE = 0.3;
/** Share of a track's boundaries that must be sure before any of them is asked about. Estimate. */
export const SECTIONS_SURE = 0.6;
/** Fewer sections than this say too little of a track's form. */
export const LEAST_SECTIONS = 3;

/** A boundary that may judge: sharp, or set by the person. */
export function isSureBoundary(track: DrillTrack, section: EditedSection): boolean {
  if (section.startTime <= 0) return false;
  return track.sectionsByHand || section.byHand === true || section.strength >= BOUNDARY_SURE;
}

/** What is not sure of a track; empty when all is. */
export function doubtsOf(track: DrillTrack): Doubt[] {
  const { grid } = track.analysis;
  const doubts: Doubt[] = [];
  if (!grid.segments.length || !(track.gridByHand || grid.confidence >= GRID_SURE)) doubts.push('grid');
  else if (!(track.gridByHand || grid.downbeatConfidence >= DOWNBEAT_SURE)) doubts.push('downbeat');
  if (!sectionsSure(track)) doubts.push('sections');
  return doubts;
}

function sectionsSure(track: DrillTrack): boolean {
  const { sections } = track.analysis;
  if (sections.length < LEAST_SECTIONS) return false;
  if (track.sectionsByHand) return true;
  const inner = sections.slice(1);
  const sure = inner.filter((section) => isSureBoundary(track, section)).length;
  return sections.some(isNamed) && sure >= SECTIONS_SURE * inner.length;
}

/** A track that no drill may be about, whatever is confirmed: silent, or not all of it could be read. */
export const isUnfit = ({ analysis }: DrillTrack): boolean =>
  analysis.silent || analysis.partial !== null || !(analysis.duration > 0);
