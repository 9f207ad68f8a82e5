/**
 * Edits of a track's markers: pure functions from list to list, in order of time. Each throws a MarkerFault with
 * one plain sentence when it cannot be made; the given list is never changed.
 */
import { beatAtTime, type BeatGrid, timeOfBeat } from '../grid/grid.ts';
import {
  freeSlot,
  type HotCue,
  type Importance,
  inOrder,
  type Loop,
  type Marker,
  MarkerFault,
  MAX_MARKERS,
  MAX_NAME_LENGTH,
  MAX_SLOT,
  type StructureMark,
} from './marker.ts';

/** What of a marker can be changed as it stands; times, slots and lengths have edits of their own. */
export type MarkerChange = Partial<{ name: string; importance: Importance; colour: string | null }>;

/** A new marker: everything but its id. */
export type NewMarker = Omit<HotCue, 'id'> | Omit<StructureMark, 'id'> | Omit<Loop, 'id'>;

/** An id that no marker of `markers` has. */
export function newId(markers: readonly Marker[]): string {
  const taken = new Set(markers.map((m) => m.id));
  let n = markers.length + 1;
  while (taken.has(`m${n}`)) n++;
  return `m${n}`;
}

/** Adds a marker; a cue whose slot is taken, or without one, gets the first free slot. */
export function addMarker(markers: readonly Marker[], marker: NewMarker): Marker[] {
  if (markers.length >= MAX_MARKERS) {
    throw new MarkerFault(`A track can have ${MAX_MARKERS} markers at most. Remove some first.`);
  }
  const added = { ...marker, name: tidy(marker.name), id: newId(markers) } as Marker;
  if (added.kind === 'cue') {
    const taken = markers.some((m) => m.kind === 'cue' && m.slot === added.slot);
    if (added.slot === null || taken) added.slot = freeSlot(markers);
  }
  if (added.kind === 'loop' && added.endTime <= added.time) {
    throw new MarkerFault('A loop must end after it begins. Give it a length.');
  }
  return inOrder([...markers, added]);
}

/** Changes name, importance or (of cues) colour of some markers at once. */
export function changeMarkers(
  markers: readonly Marker[],
  ids: ReadonlySet<string>,
  change: MarkerChange,
): Marker[] {
  const { colour, ...rest } = change;
  if (rest.name !== undefined) rest.name = tidy(rest.name);
  return markers.map((marker) => {
    if (!ids.has(marker.id)) return marker;
    const changed = { ...marker, ...rest };
    return changed.kind === 'cue' && colour !== undefined ? { ...changed, colour } : changed;
  });
}

export function removeMarkers(markers: readonly Marker[], ids: ReadonlySet<string>): Marker[] {
  return markers.filter((marker) => !ids.has(marker.id));
}

/** Moves one marker to `time`, s; a loop keeps its length, in beats where it has one. */
export function moveTo(
  markers: readonly Marker[],
  id: string,
  time: number,
  grid: BeatGrid,
  duration: number,
): Marker[] {
  return inOrder(markers.map((m) => (m.id === id ? placed(m, time, grid, duration) : m)));
}

/**
 * Moves some markers by `beats` along the grid (so that a drifting tempo is followed).
 * @throws MarkerFault without a grid, or when one of them would leave the track
 */
export function shiftByBeats(
  markers: readonly Marker[],
  ids: ReadonlySet<string>,
  beats: number,
  grid: BeatGrid,
  duration: number,
): Marker[] {
  if (!grid.segments.length) {
    throw new MarkerFault('This track has no grid, so there are no beats to move by. Lay a grid first.');
  }
  return shifted(markers, ids, duration, (time) => timeOfBeat(grid, beatAtTime(grid, time) + beats), grid);
}

/** Moves some markers by `seconds`. @throws MarkerFault when one of them would leave the track */
export function shiftBySeconds(
  markers: readonly Marker[],
  ids: ReadonlySet<string>,
  seconds: number,
  grid: BeatGrid,
  duration: number,
): Marker[] {
  return shifted(markers, ids, duration, (time) => time + seconds, grid);
}

/** Gives a cue a slot (null: none); a cue that has it gets the other's. */
export function takeSlot(markers: readonly Marker[], id: string, slot: number | null): Marker[] {
  const cue = markers.find((m): m is HotCue => m.id === id && m.kind === 'cue');
  if (!cue) throw new MarkerFault('Only a hot cue has a slot.');
  if (slot !== null && (!Number.isInteger(slot) || slot < 1 || slot > MAX_SLOT)) {
    throw new MarkerFault(`Slots are numbered from 1 to ${MAX_SLOT}.`);
  }
  return inOrder(
    markers.map((m) => {
      if (m.kind !== 'cue') return m;
      if (m.id === id) return { ...m, slot };
      return slot !== null && m.slot === slot ? { ...m, slot: cue.slot } : m;
    }),
  );
}

/** Gives several cues their slots at once; the others keep theirs. @throws MarkerFault when two would share one */
export function assignSlots(markers: readonly Marker[], slots: ReadonlyMap<string, number | null>): Marker[] {
  const changed = markers.map((m) =>
    m.kind === 'cue' && slots.has(m.id) ? { ...m, slot: slots.get(m.id) ?? null } : m,
  );
  const seen = new Set<number>();
  for (const m of changed) {
    if (m.kind !== 'cue' || m.slot === null) continue;
    if (seen.has(m.slot)) throw new MarkerFault(`Two cues would have slot ${m.slot}.`);
    seen.add(m.slot);
  }
  return inOrder(changed);
}

/** Sets a loop's length in beats from its start. */
export function setLoopLength(
  markers: readonly Marker[],
  id: string,
  beats: number,
  grid: BeatGrid,
  duration: number,
): Marker[] {
  if (!grid.segments.length) {
    throw new MarkerFault('This track has no grid, so a loop has no length in beats. Lay a grid first.');
  }
  if (!(beats > 0)) throw new MarkerFault('A loop needs a length above zero beats.');
  return markers.map((m) => {
    if (m.id !== id || m.kind !== 'loop') return m;
    const endTime = timeOfBeat(grid, beatAtTime(grid, m.time) + beats);
    if (endTime > duration) {
      throw new MarkerFault('That loop would reach past the end of the track. Make it shorter.');
    }
    return { ...m, beats, endTime };
  });
}

/** Where a loop of `beats` that begins at `time` ends, s; null when that is outside the track or unknown. */
export function loopEnd(grid: BeatGrid, time: number, beats: number, duration: number): number | null {
  if (!grid.segments.length) return null;
  const end = timeOfBeat(grid, beatAtTime(grid, time) + beats);
  return end <= duration ? end : null;
}

function shifted(
  markers: readonly Marker[],
  ids: ReadonlySet<string>,
  duration: number,
  move: (time: number) => number,
  grid: BeatGrid,
): Marker[] {
  return inOrder(
    markers.map((m) => {
      if (!ids.has(m.id)) return m;
      const time = move(m.time);
      const end = m.kind === 'loop' ? move(m.endTime) : time;
      if (time < -1e-9 || end > duration + 1e-9) {
        throw new MarkerFault('One of these markers would leave the track. Move fewer of them, or less far.');
      }
      const from = Math.max(0, time);
      if (m.kind !== 'loop') return { ...m, time: from };
      return m.beats === null ? { ...m, time: from, endTime: end } : placed(m, from, grid, duration);
    }),
  );
}

function placed(marker: Marker, time: number, grid: BeatGrid, duration: number): Marker {
  const at = Math.min(Math.max(0, time), duration);
  if (marker.kind !== 'loop') return { ...marker, time: at };
  const { beats } = marker;
  const end =
    beats !== null && grid.segments.length
      ? timeOfBeat(grid, beatAtTime(grid, at) + beats)
      : at + (marker.endTime - marker.time);
  if (end > duration + 1e-9) {
    throw new MarkerFault('That loop would reach past the end of the track. Put it earlier.');
  }
  return { ...marker, time: at, endTime: end };
}

function tidy(name: string): string {
  const trimmed = name.trim().replace(/\s+/g, ' ');
  if (trimmed.length > MAX_NAME_LENGTH) {
    throw new MarkerFault(`That name is too long. ${MAX_NAME_LENGTH} characters are enough.`);
  }
  return trimmed;
}
