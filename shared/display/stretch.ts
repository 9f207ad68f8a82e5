/**
 * Stretches of a track's columns on a display, also joined two by two (four by four, …) where fewer can be told apart.
 * What is joined is kept, tile by tile, so that a frame only copies while a track plays.
 */
import type { Pyramid } from '../pyramid.ts';
import { type DeckColumns, deckColumns } from './deck-columns.ts';
import { layersOf, type Resolution } from './resolution.ts';

/** Columns in one tile: some seconds on the decks that scroll, so that little is made that nobody asked for. */
const TILE = 512;
/** More levels than there are. */
const LEVELS = 64;

export interface QuantisedColumns {
  /** heights[layer][column]: three layers for `three-band`, else one. */
  heights: Uint16Array[];
  colours: Uint8Array;
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

/** The columns of a stretch; those past the end of the track are empty. @returns fresh arrays for the caller to keep */
export function readStretch(
  pyramid: Pyramid,
  { secondsPerColumn, level, first, count }: Stretch,
  resolution: Resolution,
): QuantisedColumns {
  const out = emptyColumns(resolution, count);
  if (!count) return out;
  const columns = deckColumns(pyramid, secondsPerColumn, resolution);
  if (level === 0) {
    copyDeckColumns(columns, first, first + count, out);
    return out;
  }
  for (let done = 0; done < count;) {
    const column = first + done;
    const index = Math.floor(column / TILE);
    const from = column - index * TILE;
    const length = Math.min(TILE - from, count - done);
    const source = joinedTile(columns, level, index);
    source.heights.forEach((heights, layer) =>
      out.heights[layer].set(heights.subarray(from, from + length), done),
    );
    out.colours.set(source.colours.subarray(from, from + length), done);
    done += length;
  }
  return out;
}

/**
 * Makes what `readStretch` copies from, some hundred columns at a step, so that whoever must not be held up can pause
 * in between.
 */
export function* makeStretch(
  pyramid: Pyramid,
  { secondsPerColumn, level, first, count }: Stretch,
  resolution: Resolution,
): Generator<void, void> {
  if (!count) return;
  const columns = deckColumns(pyramid, secondsPerColumn, resolution);
  const start = first * 2 ** level;
  const end = Math.min((first + count) * 2 ** level, columns.count);
  for (let at = 0; at <= level; at++) {
    const each = TILE * 2 ** at;
    for (let index = Math.floor(start / each); index * each < end; index++) {
      if (at === 0) makeDeckColumns(columns, index * TILE, Math.min(columns.count, (index + 1) * TILE));
      else joinedTile(columns, at, index);
      yield;
    }
  }
}

function makeDeckColumns(columns: DeckColumns, from: number, to: number): void {
  for (let layer = 0; layer < columns.layers; layer++) columns.heights(layer, from, to);
  columns.colours(from, to);
}

/** `count` empty columns. */
function emptyColumns({ kind }: Resolution, count: number): QuantisedColumns {
  return {
    heights: Array.from({ length: layersOf(kind) }, () => new Uint16Array(count)),
    colours: new Uint8Array(count),
  };
}

/** Copies columns `from` to `to - 1`, as far as the track goes. */
function copyDeckColumns(columns: DeckColumns, from: number, to: number, into: QuantisedColumns): void {
  const end = Math.min(to, columns.count);
  if (end <= from) return;
  into.heights.forEach((heights, layer) => {
    heights.set(columns.heights(layer, from, end).subarray(from, end));
  });
  into.colours.set(columns.colours(from, end).subarray(from, end));
}

/** By `index * LEVELS + level`; level n has 2^n deck columns in each of its columns. */
const kept = new WeakMap<DeckColumns, Map<number, QuantisedColumns>>();

/** A tile of columns of which each is 2^`level` deck columns, at least two. */
function joinedTile(columns: DeckColumns, level: number, index: number): QuantisedColumns {
  let tiles = kept.get(columns);
  if (!tiles) kept.set(columns, (tiles = new Map()));
  const key = index * LEVELS + level;
  const known = tiles.get(key);
  if (known) return known;
  const made = emptyColumns(columns.resolution, TILE);
  for (const half of [0, 1]) {
    const lower = 2 * index + half;
    // Tiles past the end of the track stay empty without being made.
    if (lower * TILE * 2 ** (level - 1) >= columns.count) continue;
    joinPairs(
      level > 1 ? joinedTile(columns, level - 1, lower) : deckTile(columns, lower),
      made,
      (half * TILE) / 2,
    );
  }
  tiles.set(key, made);
  return made;
}

function deckTile(columns: DeckColumns, index: number): QuantisedColumns {
  const tile = emptyColumns(columns.resolution, TILE);
  copyDeckColumns(columns, index * TILE, (index + 1) * TILE, tile);
  return tile;
}

/**
 * Joins the columns of `from` two by two into `into`, from column `at` on: the taller of each layer, and the
 * colour of the taller (of the first where they are alike).
 * It works on what the deck shows and on nothing else, so joining cannot reveal more than the deck does.
 */
function joinPairs(from: QuantisedColumns, into: QuantisedColumns, at: number): void {
  const pairs = from.colours.length >> 1;
  from.heights.forEach((heights, layer) => {
    const joined = into.heights[layer];
    for (let i = 0; i < pairs; i++) {
      const second = heights[2 * i + 1] > heights[2 * i] ? 1 : 0;
      joined[at + i] = heights[2 * i + second];
      if (layer === 0) into.colours[at + i] = from.colours[2 * i + second];
    }
  });
}
