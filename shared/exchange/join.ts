/** Two sets of markers of one track as one, without losing any. */
import { MAX_MARKERS, inOrder, type Marker } from '../markers/marker.ts';
import { freeId } from './points.ts';
import { ExchangeFault } from './types.ts';

/** What a marker is, whatever its id and the order of its fields. */
const content = ({ id: _id, ...rest }: Marker) =>
  JSON.stringify(Object.entries(rest).sort(([a], [b]) => (a < b ? -1 : 1)));

/**
 * All of `mine`, unchanged, and those of `theirs` that are not among them. One of `theirs` whose id is taken gets
 * another, one whose slot is taken keeps its place without a slot.
 * @throws ExchangeFault when there would be more than a track can have
 */
export function joinMarkers(mine: readonly Marker[], theirs: readonly Marker[]): Marker[] {
  const known = new Set(mine.map(content));
  const ids = new Set(mine.map((m) => m.id));
  const slots = new Set(mine.map((m) => (m.kind === 'cue' ? m.slot : null)));
  const added = theirs
    .filter((m) => !known.has(content(m)))
    .map((marker): Marker => {
      const id = freeId(marker.id, ids);
      ids.add(id);
      if (marker.kind !== 'cue' || marker.slot === null) return { ...marker, id };
      const slot = slots.has(marker.slot) ? null : marker.slot;
      slots.add(marker.slot);
      return { ...marker, id, slot };
    });
  const all = mine.length + added.length;
  if (all > MAX_MARKERS) {
    throw new ExchangeFault(
      `Together that would be ${all} markers, and a track can have ${MAX_MARKERS} at most: delete some first, or replace them.`,
    );
  }
  return inOrder([...mine, ...added]);
}
