/**
 * Quantised columns of whole tracks, made when first asked for and kept with the pyramid. While a track plays,
 * a frame only copies; columns joined two by two (four by four, …) are tiles of their own.
 * A pyramid must not be changed after it has been shown; pass a new one.
 */
import type { Pyramid } from '../pyramid.ts';
import { emptyColumns, joinPairs, quantise } from './quantise.ts';
import type { QuantisedColumns, Resolution } from './quantise.ts';

/** Columns in one tile: some seconds on the decks that scroll, so that little is made that nobody asked for. */
export const TILE = 512;
/** More levels than there are. */
const LEVELS = 64;
/** Displays kept per track: five rungs with some zoom stops and kinds. The one unused for longest goes first. */
const MAX_STORES = 24;

interface Store {
  resolution: Resolution;
  /** Deck columns, s */
  secondsPerColumn: number;
  /** Tiles by `index * LEVELS + level`; level n has 2^n deck columns in each of its columns. */
  tiles: Map<number, QuantisedColumns>;
}

const stores = new WeakMap<Pyramid, Map<string, Store>>();

function storeFor(pyramid: Pyramid, secondsPerColumn: number, resolution: Resolution): Store {
  let byDisplay = stores.get(pyramid);
  if (!byDisplay) stores.set(pyramid, (byDisplay = new Map()));
  const { kind, heightSteps, colourSteps } = resolution;
  const key = `${kind} ${heightSteps} ${colourSteps} ${secondsPerColumn}`;
  const store: Store = byDisplay.get(key) ?? { resolution, secondsPerColumn, tiles: new Map() };
  byDisplay.delete(key);
  byDisplay.set(key, store);
  if (byDisplay.size > MAX_STORES) byDisplay.delete(byDisplay.keys().next().value as string);
  return store;
}

function tile(pyramid: Pyramid, store: Store, level: number, index: number): QuantisedColumns {
  const key = index * LEVELS + level;
  const known = store.tiles.get(key);
  if (known) return known;
  const { resolution, secondsPerColumn } = store;
  let made: QuantisedColumns;
  if (level === 0) {
    made = quantise(pyramid, index * TILE * secondsPerColumn, secondsPerColumn, TILE, resolution);
  } else {
    made = emptyColumns(resolution.kind, TILE);
    for (const half of [0, 1]) {
      const lower = 2 * index + half;
      // Tiles past the end of the track stay empty without being made.
      if (lower * TILE * 2 ** (level - 1) * secondsPerColumn >= pyramid.duration) continue;
      joinPairs(tile(pyramid, store, level - 1, lower), made, (half * TILE) / 2);
    }
  }
  store.tiles.set(key, made);
  return made;
}

/** Columns of a track's lattice. */
export interface Stretch {
  /** Width of a deck column, s. */
  secondsPerColumn: number;
  /** Each column is 2^`level` deck columns. */
  level: number;
  /** At least 0. */
  first: number;
  count: number;
}

/** The columns of a stretch. @returns fresh arrays, which the caller may keep or transfer */
export function readTiles(
  pyramid: Pyramid,
  { secondsPerColumn, level, first, count }: Stretch,
  resolution: Resolution,
): QuantisedColumns {
  const store = storeFor(pyramid, secondsPerColumn, resolution);
  const out = emptyColumns(resolution.kind, count);
  for (let done = 0; done < count;) {
    const column = first + done;
    const index = Math.floor(column / TILE);
    const from = column - index * TILE;
    const length = Math.min(TILE - from, count - done);
    const source = tile(pyramid, store, level, index);
    source.heights.forEach((heights, layer) =>
      out.heights[layer].set(heights.subarray(from, from + length), done),
    );
    out.colours.set(source.colours.subarray(from, from + length), done);
    done += length;
  }
  return out;
}

/**
 * The deck columns of a track, tile by tile, for those who only look at them: nothing is copied.
 * @returns the tile with columns `index * TILE` to `index * TILE + TILE - 1`, which must not be changed
 */
export function tilesOf(
  pyramid: Pyramid,
  secondsPerColumn: number,
  resolution: Resolution,
): (index: number) => QuantisedColumns {
  const store = storeFor(pyramid, secondsPerColumn, resolution);
  return (index) => tile(pyramid, store, 0, index);
}
