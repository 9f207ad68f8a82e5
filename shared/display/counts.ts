/** How many columns of a display have which height or shade: all that a comparison of two stretches needs of them. */
import type { DeckColumns } from './deck-columns.ts';

/**
 * Counts a layer's heights in columns `from` to `to - 1`; those past the end of the track have none.
 * @param counts by height, 0..heightSteps: added to
 */
export function countHeights(
  columns: DeckColumns,
  layer: number,
  from: number,
  to: number,
  counts: Uint32Array,
): void {
  const end = Math.max(from, Math.min(to, columns.count));
  const heights = columns.heights(layer, from, end);
  for (let i = from; i < end; i++) counts[heights[i]]++;
  counts[0] += to - end;
}

/**
 * Counts the shades of those columns that have a height; the others show none.
 * @param counts by shade, 0..colourSteps-1: added to
 */
export function countShades(columns: DeckColumns, from: number, to: number, counts: Uint32Array): void {
  const end = Math.min(to, columns.count);
  const heights = columns.heights(0, from, end);
  const shades = columns.colours(from, end);
  for (let i = from; i < end; i++) if (heights[i]) counts[shades[i]]++;
}
