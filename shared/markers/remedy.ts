/** Remedies of verdicts, carried out on a track's markers. */
import type { BeatGrid } from '../grid/grid.ts';
import type { Remedy } from '../survival/verdict.ts';
import { CUE_COLOURS } from './colours.ts';
import { addMarker, moveTo, setLoopLength, takeSlot } from './edit.ts';
import type { Marker } from './marker.ts';

/** How important a marker is that a remedy puts: neither a must nor a mere hint. */
const IMPORTANCE = 2;

/** Where markers stand. */
export interface MarkedTrack {
  grid: BeatGrid;
  /** s */
  duration: number;
}

/**
 * The markers after a remedy.
 * @param markerId the marker that it is for; those that add one need none
 * @returns null for a remedy that is not done on markers, or whose marker is not there
 * @throws MarkerFault when it cannot be done
 */
export function carryOut(
  markers: readonly Marker[],
  markerId: string | null,
  remedy: Remedy,
  { grid, duration }: MarkedTrack,
): Marker[] | null {
  const id = markers.some((marker) => marker.id === markerId) ? markerId : null;
  switch (remedy.action) {
    case 'take-slot':
      return id === null ? null : takeSlot(markers, id, remedy.slot);
    case 'move-to':
      return id === null ? null : moveTo(markers, id, remedy.time, grid, duration);
    case 'set-length':
      return id === null ? null : setLoopLength(markers, id, remedy.beats, grid, duration);
    case 'add-mark': {
      const { time, name } = remedy;
      return addMarker(markers, { kind: 'mark', time, name, importance: IMPORTANCE });
    }
    case 'add-cue': {
      const { time, name, slot } = remedy;
      const colour = CUE_COLOURS[((slot ?? 1) - 1) % CUE_COLOURS.length].value;
      return addMarker(markers, { kind: 'cue', time, name, importance: IMPORTANCE, slot, colour });
    }
    default:
      return null;
  }
}
