/** Markers as tracks of a cue sheet, whatever its unit of time. */
import type { Point } from '../points.ts';

/** Points at one place: a sheet can show only the first of them. */
export interface SheetTrack {
  at: number;
  points: Point[];
}

/** @param points in order of time */
export function tracksOf(points: readonly Point[]): SheetTrack[] {
  const byPlace = new Map<number, SheetTrack>();
  for (const point of points) {
    const track = byPlace.get(point.at);
    if (track) track.points.push(point);
    else byPlace.set(point.at, { at: point.at, points: [point] });
  }
  return [...byPlace.values()];
}

/** The `room` tracks that matter most, in their order: by importance, cues before others, the earlier first. */
export function mostImportant(tracks: readonly SheetTrack[], room: number): SheetTrack[] {
  const weight = (track: SheetTrack) =>
    Math.max(...track.points.map((p) => 2 * p.marker.importance + Number(p.marker.kind === 'cue')));
  const kept = new Set(tracks.toSorted((a, b) => weight(b) - weight(a) || a.at - b.at).slice(0, room));
  return tracks.filter((track) => kept.has(track));
}
