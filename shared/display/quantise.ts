/** A stretch of a track reduced to the columns, heights and colours of one display. */
import { readPyramid } from '../pyramid.ts';
import type { Pyramid } from '../pyramid.ts';
import type { ColumnKind } from './columns.ts';
import { bandBalance, colourStep, heightOfLevel, trebleShare } from './heights.ts';

/** What a display can tell apart: the only facts that reach the columns. */
export interface Resolution {
  kind: ColumnKind;
  heightSteps: number;
  colourSteps: number;
}

export interface QuantisedColumns {
  /** heights[layer][column]: three layers for `three-band`, else one. */
  heights: Uint16Array[];
  colours: Uint8Array;
}

/** Index of the whole signal in the pyramid's layers. */
const FULL = 3;

export const layersOf = (kind: ColumnKind): number => (kind === 'three-band' ? 3 : 1);

/** Colour steps that a kind has: those coloured by layer, and the flat one, have one. */
export const coloursOf = (kind: ColumnKind, steps: number): number =>
  kind === 'tint' || kind === 'single' ? steps : 1;

/** `count` empty columns. */
export function emptyColumns(kind: ColumnKind, count: number): QuantisedColumns {
  return {
    heights: Array.from({ length: layersOf(kind) }, () => new Uint16Array(count)),
    colours: new Uint8Array(count),
  };
}

/** `count` columns of `secondsPerColumn` from `startTime` on, read from the pyramid and quantised. */
export function quantise(
  pyramid: Pyramid,
  startTime: number,
  secondsPerColumn: number,
  count: number,
  { kind, heightSteps, colourSteps }: Resolution,
): QuantisedColumns {
  const { peak, rms } = readPyramid(pyramid, startTime, secondsPerColumn, count);
  const out = emptyColumns(kind, count);
  const layers = kind === 'three-band' ? [0, 1, 2] : [FULL];
  layers.forEach((layer, row) => {
    const heights = out.heights[row];
    for (let i = 0; i < count; i++) heights[i] = heightOfLevel(peak[layer][i], rms[layer][i], heightSteps);
  });
  if (kind !== 'tint' && kind !== 'single') return out;
  const share = kind === 'tint' ? bandBalance : trebleShare;
  const [bass, middle, treble] = rms;
  for (let i = 0; i < count; i++) {
    // A column without height shows no colour, so it must not carry one.
    if (out.heights[0][i]) out.colours[i] = colourStep(share(bass[i], middle[i], treble[i]), colourSteps);
  }
  return out;
}

/**
 * Joins each `factor` columns of `from` into one: the tallest of each layer, and the colour of the tallest.
 * It works on what the deck shows and on nothing else, so joining cannot reveal more than the deck does.
 */
export function join(from: QuantisedColumns, factor: number, kind: ColumnKind): QuantisedColumns {
  const count = Math.ceil(from.colours.length / factor);
  const out = emptyColumns(kind, count);
  from.heights.forEach((heights, layer) => {
    const joined = out.heights[layer];
    for (let i = 0; i < heights.length; i++) {
      const target = Math.floor(i / factor);
      if (heights[i] > joined[target]) {
        joined[target] = heights[i];
        if (layer === 0) out.colours[target] = from.colours[i];
      }
    }
  });
  return out;
}
