/**
 * Corrections of a track's sections by hand: pure functions from list to list. Whatever is done, the sections
 * cover the track from its start to its end without gaps. Each throws a SectionEditFault with one plain sentence
 * when it cannot be made; the given list is never changed.
 */
import type { Section } from '../analysis.ts';
import type { BeatGrid } from '../grid/grid.ts';
import { snapToBar } from './snap.ts';

/** A section whose start may have been set by the person: then `strength` and `why` of the analysis are void. */
export interface EditedSection extends Section {
  byHand?: boolean;
}

/** Shortest section, s. Estimate: below a bar of the fastest music nobody needs one. */
export const LEAST_SECTION = 0.5;
export const LONGEST_LABEL = 40;
const BY_HAND = 'You set this boundary.';
const TRACK_START = 'The track starts here.';

/** An edit that cannot be made. `message` is one plain sentence with the remedy. */
export class SectionEditFault extends Error {
  override name = 'SectionEditFault';
}

/** The list to edit: a track whose structure is not known is one section. */
export function wholeTrack(sections: readonly EditedSection[], duration: number): EditedSection[] {
  if (sections.length) return [...sections];
  return [
    { startTime: 0, endTime: duration, label: 'A', strength: 1, why: TRACK_START, energy: 1, byHand: true },
  ];
}

/** Index of the section that sounds at `time` s; the last one's from its end on. */
export function sectionAt(sections: readonly Section[], time: number): number {
  return Math.max(
    0,
    sections.findLastIndex((s) => s.startTime <= time),
  );
}

/** Divides the section at `time`, put on the nearest bar (see snapToBar); both halves keep its label. */
export function splitSection(
  sections: readonly EditedSection[],
  time: number,
  grid: BeatGrid,
): EditedSection[] {
  const at = snapToBar(grid, time);
  const index = sectionAt(sections, at);
  const section = sections[index];
  if (!section || at - section.startTime < LEAST_SECTION || section.endTime - at < LEAST_SECTION) {
    throw new SectionEditFault(
      'There is a boundary here already. Put the playhead further inside the section.',
    );
  }
  return sections.toSpliced(
    index,
    1,
    { ...section, endTime: at },
    { ...section, startTime: at, why: BY_HAND, byHand: true },
  );
}

/** Joins a section with the one after it; it keeps the first one's name. */
export function joinWithNext(sections: readonly EditedSection[], index: number): EditedSection[] {
  const section = existing(sections, index);
  const next = sections[index + 1];
  if (!next) throw new SectionEditFault('This is the last section: there is none after it to join.');
  return sections.toSpliced(index, 2, {
    ...section,
    endTime: next.endTime,
    energy: joinedEnergy(section, next),
  });
}

/** Takes a section out: its time goes to the one before it, or for the first to the one after it. */
export function deleteSection(sections: readonly EditedSection[], index: number): EditedSection[] {
  const section = existing(sections, index);
  if (sections.length === 1)
    throw new SectionEditFault('A track has at least one section. Rename it instead.');
  const heirIndex = index === 0 ? 1 : index - 1;
  const heir = sections[heirIndex];
  const energy = joinedEnergy(heir, section);
  const { startTime, strength, why, byHand } = section;
  const heirs: EditedSection =
    index === 0
      ? { ...heir, startTime, strength, why, byHand, energy }
      : { ...heir, endTime: section.endTime, energy };
  return sections.toSpliced(Math.min(index, heirIndex), 2, heirs);
}

/** Names a section; blanks around the name are dropped. */
export function renameSection(
  sections: readonly EditedSection[],
  index: number,
  label: string,
): EditedSection[] {
  const section = existing(sections, index);
  const name = label.trim().replace(/\s+/g, ' ');
  if (!name) throw new SectionEditFault('A section needs a name. Type one, or join it with its neighbour.');
  if (name.length > LONGEST_LABEL) {
    throw new SectionEditFault(`That name is too long. ${LONGEST_LABEL} characters are enough.`);
  }
  return sections.with(index, { ...section, label: name });
}

/** Moves the start of section `index` (not the first) to `time`, put on the nearest bar. */
export function moveBoundary(
  sections: readonly EditedSection[],
  index: number,
  time: number,
  grid: BeatGrid,
): EditedSection[] {
  const section = existing(sections, index);
  const before = sections[index - 1];
  if (!before) throw new SectionEditFault('The first section starts with the track.');
  const at = snapToBar(grid, time);
  if (at - before.startTime < LEAST_SECTION || section.endTime - at < LEAST_SECTION) {
    throw new SectionEditFault(
      'A boundary cannot pass its neighbour. Delete the section between them instead.',
    );
  }
  if (at === section.startTime) return [...sections];
  return sections
    .with(index - 1, { ...before, endTime: at })
    .with(index, { ...section, startTime: at, why: BY_HAND, byHand: true });
}

/** Puts every boundary on its nearest bar, for instance after the grid was corrected. Sections that would vanish keep their start. */
export function snapAll(sections: readonly EditedSection[], grid: BeatGrid): EditedSection[] {
  let result = [...sections];
  for (let index = 1; index < result.length; index++) {
    try {
      const { why, byHand } = result[index];
      const moved = moveBoundary(result, index, result[index].startTime, grid);
      // It is the same boundary, only in its right place.
      result = moved.with(index, { ...moved[index], why, byHand });
    } catch (error) {
      if (!(error instanceof SectionEditFault)) throw error;
    }
  }
  return result;
}

function existing(sections: readonly EditedSection[], index: number): EditedSection {
  const section = sections[index];
  if (!section) throw new SectionEditFault('There is no such section.');
  return section;
}

/** Energies are levels: their powers weigh by time. */
function joinedEnergy(a: Section, b: Section): number {
  const length = (s: Section) => s.endTime - s.startTime;
  const power = a.energy ** 2 * length(a) + b.energy ** 2 * length(b);
  return Math.sqrt(power / (length(a) + length(b)));
}
