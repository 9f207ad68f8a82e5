/**
 * Copies the scheme of one track's markers to another: each goes to the same musical place, not to the same time.
 * A marker in a section with a musical name goes to the same distance in beats from the start of the same section
 * there (the second drop to the second drop); any other to the same distance from the first phrase. What the other
 * track has no place for is left out and told.
 */
import type { Section } from '../analysis.ts';
import { modulo, PHRASE_BARS } from '../grid/edit-model.ts';
import { beatAtTime, type BeatGrid, timeOfBeat } from '../grid/grid.ts';
import { addMarker } from './edit.ts';
import { type Marker, MarkerFault } from './marker.ts';

/** What of a track the copy needs. */
export interface SchemeTrack {
  markers: readonly Marker[];
  grid: BeatGrid;
  sections: readonly Section[];
  /** s */
  duration: number;
}

/** Names that mean the same in every track; a plain letter means nothing in another one. */
const MUSICAL = new Set(['intro', 'build', 'drop', 'breakdown', 'outro']);

export interface CopiedScheme {
  markers: Marker[];
  copied: number;
  /** Markers that were left out, with the reason as one plain sentence each. */
  notes: string[];
}

/**
 * @param how `add`: what stands there stays, and a cue whose slot is taken gets a free one; `replace`: only the copy
 *   stands there afterwards
 * @throws MarkerFault when one of the tracks has no grid
 */
export function copyScheme(from: SchemeTrack, to: SchemeTrack, how: 'add' | 'replace'): CopiedScheme {
  if (!from.grid.segments.length || !to.grid.segments.length) {
    throw new MarkerFault(
      'Both tracks need a beat grid to copy markers by phrase. Lay the missing one first.',
    );
  }
  let markers: Marker[] = how === 'add' ? [...to.markers] : [];
  const notes: string[] = [];
  let copied = 0;
  for (const marker of from.markers) {
    const name = marker.name || kindName(marker);
    const beat = landing(marker.time, from, to);
    const time = timeOfBeat(to.grid, beat);
    if (time < -1e-6 || time > to.duration) {
      notes.push(`“${name}” has no place in the shorter track and was left out.`);
      continue;
    }
    const { id: _id, ...rest } = marker;
    const at = Math.max(0, time);
    if (rest.kind !== 'loop') {
      markers = addMarker(markers, { ...rest, time: at });
      copied++;
      continue;
    }
    const beats = rest.beats ?? beatAtTime(from.grid, rest.endTime) - beatAtTime(from.grid, rest.time);
    const endTime = timeOfBeat(to.grid, beatAtTime(to.grid, at) + beats);
    if (endTime > to.duration) {
      notes.push(`The loop “${name}” would reach past the end and was left out.`);
      continue;
    }
    markers = addMarker(markers, { ...rest, time: at, endTime, beats: rest.beats });
    copied++;
  }
  return { markers, copied, notes };
}

/** The beat of `to` at the same musical place as `time` in `from`. */
function landing(time: number, from: SchemeTrack, to: SchemeTrack): number {
  const beat = beatAtTime(from.grid, time);
  // A marker a hair before a boundary (rounding, or an early press) belongs to what begins there.
  const near = time + 60 / from.grid.segments[0].bpm / 2;
  const index = from.sections.findLastIndex((s) => s.startTime <= near);
  const section = from.sections[index];
  if (section && MUSICAL.has(section.label)) {
    const nth = from.sections.slice(0, index).filter((s) => s.label === section.label).length;
    const twin = to.sections.filter((s) => s.label === section.label)[nth];
    if (twin) {
      const offset = beat - beatAtTime(from.grid, section.startTime);
      const at = beatAtTime(to.grid, twin.startTime) + offset;
      if (offset <= 0 || timeOfBeat(to.grid, at) < twin.endTime) return at;
    }
  }
  return beat - firstPhrase(from.grid) + firstPhrase(to.grid);
}

/** Beat of the first start of a phrase at or after beat 0; of the first bar where phrases are not known. */
function firstPhrase(grid: BeatGrid): number {
  const { beatsPerBar, firstBeatInBar, phraseOffsetBars } = grid;
  const bars = phraseOffsetBars === null ? 0 : modulo(phraseOffsetBars, PHRASE_BARS);
  const beat = bars * beatsPerBar - firstBeatInBar;
  return beat >= 0 ? beat : beat + (phraseOffsetBars === null ? beatsPerBar : PHRASE_BARS * beatsPerBar);
}

function kindName(marker: Marker): string {
  return marker.kind === 'cue' ? 'A hot cue' : marker.kind === 'loop' ? 'A loop' : 'A structure mark';
}
