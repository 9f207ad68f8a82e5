/** How many columns of a display have which height and shade: all that a comparison of two stretches needs of them. */
import type { Pyramid } from '../pyramid.ts';
import type { DisplayColumns } from './columns.ts';
import type { Lattice } from './model.ts';
import type { QuantisedColumns, Resolution } from './quantise.ts';
import { TILE, tilesOf } from './tiles.ts';

export interface StepCounts {
  /** heights[layer][height]: columns of that height, 0..heightSteps. */
  heights: Uint32Array[];
  /** Columns of each shade that have a height; the others show none. Empty where the kind has one shade. */
  shades: Uint32Array;
}

/** Counts columns `from` to `to - 1` into `counts`, whatever these held before. */
export type Count = (from: number, to: number, counts: StepCounts) => void;

export const newCounts = ({ kind, heightSteps, colourSteps }: Resolution): StepCounts => ({
  heights: Array.from({ length: kind === 'three-band' ? 3 : 1 }, () => new Uint32Array(heightSteps + 1)),
  shades: new Uint32Array(colourSteps > 1 ? colourSteps : 0),
});

function clear({ heights, shades }: StepCounts): void {
  for (const counts of heights) counts.fill(0);
  shades.fill(0);
}

function add(columns: QuantisedColumns, from: number, to: number, { heights, shades }: StepCounts): void {
  for (let layer = 0; layer < heights.length; layer++) {
    const values = columns.heights[layer];
    const counts = heights[layer];
    for (let i = from; i < to; i++) counts[values[i]]++;
  }
  if (!shades.length) return;
  const { colours } = columns;
  const [first] = columns.heights;
  for (let i = from; i < to; i++) if (first[i]) shades[colours[i]]++;
}

/** Counts in columns that are there. */
export function countIn(columns: DisplayColumns): Count {
  return (from, to, counts) => {
    clear(counts);
    add(columns, from, to, counts);
  };
}

/** Counts in a track's scrolling columns, of which only those are made that are counted. */
export function countInLattice(pyramid: Pyramid, { secondsPerColumn, resolution }: Lattice): Count {
  const tileAt = tilesOf(pyramid, secondsPerColumn, resolution);
  return (from, to, counts) => {
    clear(counts);
    for (let at = from; at < to;) {
      const index = Math.floor(at / TILE);
      const end = Math.min(to, (index + 1) * TILE);
      add(tileAt(index), at - index * TILE, end - index * TILE, counts);
      at = end;
    }
  };
}
