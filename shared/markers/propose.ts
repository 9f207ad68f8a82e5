/**
 * Markers proposed from a track's sections: a structure mark on every change, and hot cues on the few places that
 * a set hangs on: where to come in, the drops, the breakdown, where to leave. Nothing of the person's is moved or
 * replaced: a place that has a marker of the kind already is left alone.
 */
import type { Section } from '../analysis.ts';
import { beatAtTime, type BeatGrid, isDownbeat, tempoAt, timeOfBeat } from '../grid/grid.ts';
import { addMarker } from './edit.ts';
import { type Importance, type Marker, MAX_SLOT } from './marker.ts';
import { CUE_COLOURS } from './colours.ts';

/** Nearer than this a place counts as marked, beats; without a grid seconds. */
const NEAR_BEATS = 1;
const NEAR_SECONDS = 0.5;

interface Place {
  time: number;
  name: string;
  importance: Importance;
  colour: string;
}

const [, AMBER, , FERN, LAGOON, , IRIS] = CUE_COLOURS.map((c) => c.value);
const CORAL = CUE_COLOURS[0].value;

/** Names that tell a section's musical part; all others are letters or the person's own. */
const CUE_FOR: Record<string, { name: string; importance: Importance; colour: string }> = {
  build: { name: 'Build', importance: 1, colour: AMBER },
  drop: { name: 'Drop', importance: 3, colour: CORAL },
  breakdown: { name: 'Breakdown', importance: 2, colour: IRIS },
  outro: { name: 'Mix out', importance: 3, colour: LAGOON },
};

/**
 * Adds what the sections propose to `markers`.
 * @param sections in order, covering the track; none: the list comes back as it was
 * @returns the new list and how many markers were added
 */
export function proposeMarkers(
  markers: readonly Marker[],
  sections: readonly Section[],
  grid: BeatGrid,
): { markers: Marker[]; added: number } {
  if (!sections.length) return { markers: [...markers], added: 0 };
  let list = [...markers];
  const near = (kind: Marker['kind'], time: number) =>
    list.some((m) => m.kind === kind && apart(grid, m.time, time) < 1);

  for (const [index, section] of sections.entries()) {
    const time = index === 0 ? mixIn(sections, grid) : section.startTime;
    if (near('mark', time)) continue;
    const name = capital(section.label);
    const importance: Importance = section.strength >= 2 / 3 ? 3 : section.strength >= 1 / 3 ? 2 : 1;
    list = addMarker(list, { kind: 'mark', time, name, importance });
  }
  for (const place of cuePlaces(sections, grid)) {
    if (near('cue', place.time)) continue;
    if (list.filter((m) => m.kind === 'cue' && m.slot !== null).length >= MAX_SLOT) break;
    list = addMarker(list, { kind: 'cue', slot: null, ...place });
  }
  return { markers: list, added: list.length - markers.length };
}

/** The places worth a cue, in order of time; at most as many as there are slots, the least important left out. */
function cuePlaces(sections: readonly Section[], grid: BeatGrid): Place[] {
  const places: Place[] = [{ time: mixIn(sections, grid), name: 'Mix in', importance: 3, colour: FERN }];
  const named = sections.some((s) => s.label in CUE_FOR);
  if (named) {
    const seen = new Map<string, number>();
    for (const section of sections.slice(1)) {
      const known = CUE_FOR[section.label];
      if (!known) continue;
      const count = (seen.get(section.label) ?? 0) + 1;
      seen.set(section.label, count);
      const importance = count === 1 ? known.importance : (Math.max(1, known.importance - 1) as Importance);
      const name = count === 1 ? known.name : `${known.name} ${count}`;
      places.push({ ...known, name, importance, time: section.startTime });
    }
  } else {
    // Letters: the sharpest change upwards is what a floor waits for, the last section is the way out.
    const changes = sections
      .slice(1)
      .map((section, i) => ({ section, rise: section.energy - sections[i].energy }));
    const last = changes.at(-1);
    const up = changes
      .slice(0, -1)
      .sort((a, b) => b.rise * b.section.strength - a.rise * a.section.strength)[0];
    if (up) {
      places.push({ time: up.section.startTime, name: 'Main change', importance: 3, colour: CORAL });
    }
    if (last) places.push({ time: last.section.startTime, name: 'Mix out', importance: 3, colour: LAGOON });
  }
  return places
    .sort((a, b) => b.importance - a.importance || a.time - b.time)
    .slice(0, MAX_SLOT)
    .sort((a, b) => a.time - b.time);
}

/** The first downbeat of the track: where the first beat is counted from. */
function mixIn(sections: readonly Section[], grid: BeatGrid): number {
  const start = sections[0].startTime;
  if (!grid.segments.length) return start;
  let beat = Math.ceil(beatAtTime(grid, start) - 1e-6);
  while (!isDownbeat(grid, beat)) beat++;
  return Math.max(0, timeOfBeat(grid, beat));
}

/** Distance of two times, 1 being near enough to be the same place. */
function apart(grid: BeatGrid, a: number, b: number): number {
  const tempo = tempoAt(grid, Math.min(a, b));
  return Math.abs(a - b) / (tempo ? (60 / tempo) * NEAR_BEATS : NEAR_SECONDS);
}

function capital(label: string): string {
  return label.charAt(0).toUpperCase() + label.slice(1);
}
