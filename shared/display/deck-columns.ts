/**
 * The columns of a track on one display, as wide as the deck's own: made where they are first asked for, layer by
 * layer, and kept with the pyramid. A pyramid must not be changed after it has been shown; pass a new one.
 */
import type { Pyramid } from '../pyramid.ts';
import { Made } from './made.ts';
import { coloursInto, heightsInto } from './quantise.ts';
import { layersOf, type Resolution } from './resolution.ts';
import { type Source, sourceOf } from './source.ts';

/** Displays kept per track: five rungs with some zoom stops and kinds. The one unused for longest goes first. */
const MAX_KEPT = 24;

/** One layer of heights, or the colours. */
interface Plane<Values> {
  /** By column. */
  values: Values;
  made: Made;
}

/** What it gives is shared and must not be changed. Only what was asked for stands in it. */
export class DeckColumns {
  readonly resolution: Resolution;
  readonly secondsPerColumn: number;
  /** Columns that begin within the track. */
  readonly count: number;
  readonly #source: Source | null;
  readonly #heights: (Plane<Uint16Array> | undefined)[] = [];
  #colours: Plane<Uint8Array> | undefined;

  constructor(pyramid: Pyramid, secondsPerColumn: number, resolution: Resolution) {
    this.resolution = resolution;
    this.secondsPerColumn = secondsPerColumn;
    this.#source = sourceOf(pyramid, secondsPerColumn);
    let count = this.#source && secondsPerColumn > 0 ? Math.ceil(pyramid.duration / secondsPerColumn) : 0;
    while (count > 0 && (count - 1) * secondsPerColumn >= pyramid.duration) count--;
    this.count = count;
  }

  /** Layers of heights. */
  get layers(): number {
    return layersOf(this.resolution.kind);
  }

  /** Heights of one layer by column, `count` of them; columns `from` to `to - 1` are made. */
  heights(layer: number, from: number, to: number): Uint16Array {
    const { count, resolution } = this;
    const source = this.#source;
    const plane = (this.#heights[layer] ??= { values: new Uint16Array(count), made: new Made() });
    const { values, made } = plane;
    if (source) {
      made.fill(from, Math.min(to, count), (start, end) => {
        heightsInto(source, resolution, layer, start, end, values);
      });
    }
    return values;
  }

  /** Colours by column, `count` of them; columns `from` to `to - 1` are made. All 0 where there is one colour. */
  colours(from: number, to: number): Uint8Array {
    const { count, resolution } = this;
    const source = this.#source;
    const plane = (this.#colours ??= { values: new Uint8Array(count), made: new Made() });
    const { values, made } = plane;
    if (source && resolution.colourSteps > 1) {
      made.fill(from, Math.min(to, count), (start, end) => {
        coloursInto(source, resolution, this.heights(0, start, end), start, end, values);
      });
    }
    return values;
  }
}

const kept = new WeakMap<Pyramid, Map<string, DeckColumns>>();

/** The columns of a track on a display, kept with its pyramid. */
export function deckColumns(pyramid: Pyramid, secondsPerColumn: number, resolution: Resolution): DeckColumns {
  let byDisplay = kept.get(pyramid);
  if (!byDisplay) kept.set(pyramid, (byDisplay = new Map()));
  const { kind, heightSteps, colourSteps } = resolution;
  const key = `${kind} ${heightSteps} ${colourSteps} ${secondsPerColumn}`;
  const columns = byDisplay.get(key) ?? new DeckColumns(pyramid, secondsPerColumn, resolution);
  byDisplay.delete(key);
  byDisplay.set(key, columns);
  if (byDisplay.size > MAX_KEPT) byDisplay.delete(byDisplay.keys().next().value as string);
  return columns;
}
