/**
 * How much a deck's picture changes at a time: what it paints in the bars before against the bars after, measured
 * on its display columns and on nothing else.
 */
import { BANDS } from '../bands.ts';
import { countHeights, countShades } from '../display/counts.ts';
import { type DeckColumns, deckColumns } from '../display/deck-columns.ts';
import type { BeatGrid } from '../grid/grid.ts';
import type { DeckProfile } from '../profile/schema.ts';
import type { Pyramid } from '../pyramid.ts';
import { cliffsDelta } from './effect.ts';
import { judgedPicture, type PictureTrack } from './picture.ts';
import { type Windows, windowsAt } from './windows.ts';

/** Fewer columns than this on one side are too few to compare. Estimate. */
export const LEAST_COLUMNS = 3;
/**
 * From here on a change is taken to be seen. Calibrated: inside parts that do not change, 95 % of all places give
 * less than 0.1 on every shipped deck and the worst about 0.2; the section changes of the demo set give 0.28 and more on
 * the richest deck (tests/survival/calibration.test.ts holds both). Romano et al. (2006) call a Cliff's delta of
 * 0.147 small and 0.33 medium; citation from memory.
 */
export const VISIBLE_CONTRAST = 0.25;
/** Part of the full height by which two columns must differ to be seen to differ. Estimate. */
export const VISIBLE_HEIGHT = 1 / 24;
/** Part of the range of shades by which two columns must differ to be seen to differ. Estimate. */
export const VISIBLE_SHADE = 1 / 16;

/** Part of a column by which a window's edge may miss that of a column. */
const SLACK = 1e-6;

export type ContrastLayer = 'bass' | 'middle' | 'treble' | 'height' | 'shade';

export interface Contrast {
  /** 0..1: the largest of the layers, whatever its sign; what is seen in one layer is seen. */
  value: number;
  /** −1..1 per layer: below 0 it falls (in height, or towards the bass), above 0 it rises. */
  layers: { layer: ContrastLayer; delta: number }[];
  /** Bars on each side, whole, 1 to WINDOW_BARS: fewer near the ends. null without a grid. */
  windowBars: number | null;
  /** s before and after `time` */
  secondsBefore: number;
  secondsAfter: number;
  /** Whole columns of the deck on each side. */
  columnsBefore: number;
  columnsAfter: number;
}

/** A place in a picture, and what was measured there so far. */
interface Place {
  windows: Windows;
  /** Columns of the side before: `from` to `before - 1`; of the side after: `after` to `to - 1`. */
  from: number;
  before: number;
  after: number;
  to: number;
  /** By layer, as many as were asked for. */
  deltas: number[];
  contrast: Contrast | null;
}

/** What is seen of one track on one deck. Only what is asked for is made and measured, and it is kept. */
export class Sight {
  readonly track: Pick<PictureTrack, 'grid' | 'duration'>;
  readonly #columns: DeckColumns;
  /** Columns of the whole track. */
  readonly #count: number;
  /** Of the picture: those of its heights, then the shade where it has one. */
  readonly #layers: readonly ContrastLayer[];
  /** By time; null where too little of the track lies on one side. */
  readonly #places = new Map<number, Place | null>();

  constructor({ grid, duration }: PictureTrack, columns: DeckColumns, count: number) {
    this.track = { grid, duration };
    this.#columns = columns;
    this.#count = count;
    this.#layers =
      columns.layers > 1 ? BANDS : columns.resolution.colourSteps > 1 ? HEIGHT_AND_SHADE : HEIGHT;
  }

  /** Contrast at `time`, s, or null where too little of the track lies on one side. */
  contrast(time: number): Contrast | null {
    const place = this.#placeAt(time);
    if (!place) return null;
    if (place.contrast) return place.contrast;
    const { windows, from, before, after, to } = place;
    const layers = this.#layers.map((layer, i) => ({ layer, delta: this.#delta(place, i) }));
    return (place.contrast = {
      value: layers.reduce((most, { delta }) => Math.max(most, Math.abs(delta)), 0),
      layers,
      windowBars: windows.bars,
      secondsBefore: windows.time - windows.start,
      secondsAfter: windows.end - windows.time,
      columnsBefore: before - from,
      columnsAfter: to - after,
    });
  }

  /**
   * Whether a change at `time`, s, is seen: whether its contrast is VISIBLE_CONTRAST or more. Looks at one layer after
   * the other, and at none that it does not take.
   * @returns null where too little of the track lies on one side
   */
  sees(time: number): boolean | null {
    const place = this.#placeAt(time);
    if (!place) return null;
    for (let i = 0; i < this.#layers.length; i++) {
      if (Math.abs(this.#delta(place, i)) >= VISIBLE_CONTRAST) return true;
    }
    return false;
  }

  /** Contrast of a change that is not seen; null where it is, or where it cannot be told. */
  hidden(time: number): Contrast | null {
    return this.sees(time) === false ? this.contrast(time) : null;
  }

  #placeAt(time: number): Place | null {
    let place = this.#places.get(time);
    if (place === undefined) {
      const windows = windowsAt(this.track, time);
      this.#places.set(time, (place = windows && this.#placeOf(windows)));
    }
    return place;
  }

  /** Columns that lie wholly on one side; the one that holds the time belongs to neither. null: too few. */
  #placeOf(windows: Windows): Place | null {
    const width = this.#columns.secondsPerColumn;
    const from = Math.max(0, Math.ceil(windows.start / width - SLACK));
    const before = Math.floor(windows.time / width + SLACK);
    const after = Math.ceil(windows.time / width - SLACK);
    const to = Math.min(this.#count, Math.floor(windows.end / width + SLACK));
    if (before - from < LEAST_COLUMNS || to - after < LEAST_COLUMNS) return null;
    return { windows, from, before, after, to, deltas: [], contrast: null };
  }

  /** Of layer number `i`, those before it being known. */
  #delta(place: Place, i: number): number {
    if (i < place.deltas.length) return place.deltas[i];
    const columns = this.#columns;
    const { heightSteps, colourSteps } = columns.resolution;
    const shade = this.#layers[i] === 'shade';
    const [left, right] = emptyCounts(shade ? colourSteps : heightSteps + 1);
    if (shade) {
      countShades(columns, place.from, place.before, left);
      countShades(columns, place.after, place.to, right);
    } else {
      countHeights(columns, i, place.from, place.before, left);
      countHeights(columns, i, place.after, place.to, right);
    }
    const margin = shade ? colourSteps * VISIBLE_SHADE : heightSteps * VISIBLE_HEIGHT;
    return (place.deltas[i] = cliffsDelta(left, right, Math.max(1, Math.round(margin))));
  }
}

const HEIGHT: readonly ContrastLayer[] = ['height'];
const HEIGHT_AND_SHADE: readonly ContrastLayer[] = ['height', 'shade'];

/** Counts of both sides, by how many steps there are; used anew for every measurement. */
const counts = new Map<number, [Uint32Array, Uint32Array]>();

function emptyCounts(steps: number): [Uint32Array, Uint32Array] {
  let both = counts.get(steps);
  if (!both) counts.set(steps, (both = [new Uint32Array(steps), new Uint32Array(steps)]));
  both[0].fill(0);
  both[1].fill(0);
  return both;
}

/** By grid, since the columns do not hang on it, but the windows do; a corrected grid is a new object. */
interface KeptOfGrid {
  byDeck: WeakMap<DeckProfile, Sight>;
  /** Decks often show the same. */
  byColumns: Map<DeckColumns, Sight>;
}

const kept = new WeakMap<Pyramid, WeakMap<BeatGrid, KeptOfGrid>>();

/** What is seen of a track on a deck; kept with both. */
export function sightOf(track: PictureTrack, profile: DeckProfile): Sight {
  let byGrid = kept.get(track.pyramid);
  if (!byGrid) kept.set(track.pyramid, (byGrid = new WeakMap()));
  let ofGrid = byGrid.get(track.grid);
  if (!ofGrid) byGrid.set(track.grid, (ofGrid = { byDeck: new WeakMap(), byColumns: new Map() }));
  let sight = ofGrid.byDeck.get(profile);
  if (sight?.track.duration === track.duration) return sight;
  const { secondsPerColumn, resolution, columns: count } = judgedPicture(track, profile);
  const columns = deckColumns(track.pyramid, secondsPerColumn, resolution);
  sight = ofGrid.byColumns.get(columns);
  if (sight?.track.duration !== track.duration) {
    ofGrid.byColumns.set(columns, (sight = new Sight(track, columns, count)));
  }
  ofGrid.byDeck.set(profile, sight);
  return sight;
}

/** Contrast at `time`, s, of what the deck paints, or null where too little of the track lies on one side. */
export function contrastAt(track: PictureTrack, profile: DeckProfile, time: number): Contrast | null {
  return sightOf(track, profile).contrast(time);
}
