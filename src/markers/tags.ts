/** Where the tags of markers stand in the lane: rows so that no two overlap. Pure. */

export interface TagBox {
  id: string;
  /** CSS pixels from the lane's left edge to the thread. */
  x: number;
  /** CSS pixels that the tag would like. */
  width: number;
}

export interface PlacedTag {
  id: string;
  row: number;
  /** CSS pixels that it gets. */
  width: number;
}

/** Space between two tags of a row, CSS pixels. */
const GAP = 3;
/** A tag narrower than this shows its sign alone. */
export const LEAST_TAG = 22;

/**
 * Puts each tag, in order of x, into the first row where it fits; where none has room it goes into the row whose
 * last tag ends first, and that tag is cut short, down to LEAST_TAG.
 * @param tags in order of x
 */
export function layTags(tags: readonly TagBox[], rows: number): PlacedTag[] {
  const placed: PlacedTag[] = [];
  const last: ({ x: number; place: PlacedTag } | null)[] = Array.from({ length: rows }, () => null);
  for (const tag of tags) {
    const end = (row: number) => {
      const before = last[row];
      return before ? before.x + before.place.width + GAP : -Infinity;
    };
    let row = last.findIndex((_, r) => end(r) <= tag.x);
    if (row < 0) {
      const starts = last.map((before) => before?.x ?? -Infinity);
      row = starts.indexOf(Math.min(...starts));
      const before = last[row]!;
      before.place.width = Math.max(LEAST_TAG, tag.x - before.x - GAP);
    }
    const place = { id: tag.id, row, width: tag.width };
    placed.push(place);
    last[row] = { x: tag.x, place };
  }
  return placed;
}
