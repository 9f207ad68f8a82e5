/** What the drills ask of a track's grid and sections. */
import type { Section } from '../analysis.ts';
import { LAYERS } from '../bands.ts';
import { beatAtTime, tempoAt, timeOfBeat } from '../grid/grid.ts';
import { readPyramid } from '../pyramid.ts';
import { type EditedSection, sectionAt } from '../sections/edit.ts';
import { type DrillTrack, SECTION_KINDS, type SectionKind } from './types.ts';

const FULL = LAYERS.indexOf('full');
/** What silence counts as, dB: below the least step of any display. */
const SILENCE_DB = -120;
/** Columns that a stretch is read in: one column reaches past its edges by up to half its width. */
const LEVEL_COLUMNS = 64;

export const kindOfLabel = (label: string): SectionKind =>
  (SECTION_KINDS as readonly string[]).includes(label) ? (label as SectionKind) : 'other';

/** Kind of the section that sounds at `time` s. */
export function sectionKindAt({ analysis }: DrillTrack, time: number): SectionKind {
  const section = analysis.sections[sectionAt(analysis.sections, time)];
  return section ? kindOfLabel(section.label) : 'other';
}

/** Neighbouring sections with the same name joined: the place where "the drop" starts is the first one's. */
export function runsOf(sections: readonly EditedSection[]): EditedSection[] {
  const runs: EditedSection[] = [];
  for (const section of sections) {
    const last = runs.at(-1);
    if (last?.label === section.label) runs[runs.length - 1] = { ...last, endTime: section.endTime };
    else runs.push(section);
  }
  return runs;
}

/** Seconds of a beat at `time`, or null without a grid. */
export function beatSecondsAt({ analysis }: DrillTrack, time: number): number | null {
  const bpm = tempoAt(analysis.grid, time);
  return bpm ? 60 / bpm : null;
}

export function barSecondsAt(track: DrillTrack, time: number): number | null {
  const beat = beatSecondsAt(track, time);
  return beat && beat * track.analysis.grid.beatsPerBar;
}

/** The time `bars` bars after `time` (before it where negative), by the grid. */
export function barsFrom({ analysis: { grid } }: DrillTrack, time: number, bars: number): number {
  return timeOfBeat(grid, beatAtTime(grid, time) + bars * grid.beatsPerBar);
}

/** Times of all bar lines within the track. */
export function barTimes({ analysis: { grid, duration } }: DrillTrack): number[] {
  if (!grid.segments.length) return [];
  const { beatsPerBar, firstBeatInBar } = grid;
  const times: number[] = [];
  for (let bar = Math.ceil((beatAtTime(grid, 0) + firstBeatInBar) / beatsPerBar - 1e-6); ; bar++) {
    const time = timeOfBeat(grid, bar * beatsPerBar - firstBeatInBar);
    if (time >= duration) return times;
    times.push(Math.max(0, time));
  }
}

/** Level of the mean power of a layer from `from` to `to` s, dB. */
export function levelDb({ analysis }: DrillTrack, from: number, to: number, layer = FULL): number {
  const start = Math.max(0, from);
  const length = Math.min(to, analysis.duration) - start;
  if (!(length > 0)) return SILENCE_DB;
  const { rms } = readPyramid(analysis.pyramid, start, length / LEVEL_COLUMNS, LEVEL_COLUMNS);
  const level = Math.sqrt(rms[layer].reduce((sum, x) => sum + x * x, 0) / LEVEL_COLUMNS);
  return level > 0 ? Math.max(SILENCE_DB, 20 * Math.log10(level)) : SILENCE_DB;
}

/** Names of the sections that tell what they are, against mere letters. */
export const isNamed = (section: Section): boolean => kindOfLabel(section.label) !== 'other';
