/** A stretch of a track reduced to the columns, heights and colours of one display. */
import { BANDS } from '../bands.ts';
import type { Pyramid, PyramidLevel } from '../pyramid.ts';
import type { ColumnKind } from './columns.ts';
import { bandBalance, colourStep, heightTable, levelOf, trebleShare } from './heights.ts';

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
const FULL = BANDS.length;

/** Colour steps that a kind has: those coloured by layer, and the flat one, have one. */
export const coloursOf = (kind: ColumnKind, steps: number): number =>
  kind === 'tint' || kind === 'single' ? steps : 1;

/** `count` empty columns. */
export function emptyColumns(kind: ColumnKind, count: number): QuantisedColumns {
  return {
    heights: Array.from({ length: kind === 'three-band' ? BANDS.length : 1 }, () => new Uint16Array(count)),
    colours: new Uint8Array(count),
  };
}

/**
 * Which fine columns each of the display's columns touches. The same choice as in `readPyramid`, made once for
 * all layers; this file reads the pyramid itself since a long track has some 100 000 columns to quantise, of
 * which each kind needs other layers.
 */
interface Spans {
  level: PyramidLevel;
  first: Int32Array;
  /** Before `first` where the column lies outside the track. */
  last: Int32Array;
}

function spansOf(pyramid: Pyramid, startTime: number, width: number, count: number): Spans | null {
  const level = pyramid.levels.findLast((l) => l.hop * 2 <= width) ?? pyramid.levels[0];
  if (!level || level.length === 0) return null;
  const first = new Int32Array(count);
  const last = new Int32Array(count).fill(-1);
  for (let column = 0; column < count; column++) {
    const t0 = startTime + column * width;
    const t1 = t0 + width;
    if (t1 <= 0 || t0 >= pyramid.duration) continue;
    const from = Math.max(0, Math.floor(t0 / level.hop + 1e-6));
    first[column] = from;
    last[column] = Math.min(level.length - 1, Math.max(from, Math.ceil(t1 / level.hop - 1e-6) - 1));
  }
  return { level, first, last };
}

function peaksOf({ level, first, last }: Spans, layer: number): Float32Array {
  const fine = level.peak[layer];
  const out = new Float32Array(first.length);
  for (let column = 0; column < out.length; column++) {
    let top = 0;
    for (let i = first[column]; i <= last[column]; i++) if (fine[i] > top) top = fine[i];
    out[column] = top;
  }
  return out;
}

function rmsOf({ level, first, last }: Spans, layer: number): Float32Array {
  const fine = level.rms[layer];
  const out = new Float32Array(first.length);
  for (let column = 0; column < out.length; column++) {
    let power = 0;
    for (let i = first[column]; i <= last[column]; i++) power += fine[i] * fine[i];
    const length = last[column] - first[column] + 1;
    if (power > 0) out[column] = Math.sqrt(power / length);
  }
  return out;
}

/** `count` columns of `secondsPerColumn` from `startTime` on, read from the pyramid and quantised. */
export function quantise(
  pyramid: Pyramid,
  startTime: number,
  secondsPerColumn: number,
  count: number,
  { kind, heightSteps, colourSteps }: Resolution,
): QuantisedColumns {
  const out = emptyColumns(kind, count);
  const spans = spansOf(pyramid, startTime, secondsPerColumn, count);
  if (!spans) return out;
  const table = heightTable(heightSteps);
  out.heights.forEach((heights, row) => {
    const layer = kind === 'three-band' ? row : FULL;
    const peak = peaksOf(spans, layer);
    const rms = rmsOf(spans, layer);
    for (let i = 0; i < count; i++) heights[i] = table[levelOf(peak[i], rms[i])];
  });
  if (kind !== 'tint' && kind !== 'single') return out;
  const share = kind === 'tint' ? bandBalance : trebleShare;
  const [bass, middle, treble] = BANDS.map((_, layer) => rmsOf(spans, layer));
  for (let i = 0; i < count; i++) {
    // A column without height shows no colour, so it must not carry one.
    if (out.heights[0][i]) out.colours[i] = colourStep(share(bass[i], middle[i], treble[i]), colourSteps);
  }
  return out;
}

/**
 * Joins the columns of `from` two by two into `into`, from column `at` on: the taller of each layer, and the
 * colour of the taller (of the first where they are alike).
 * It works on what the deck shows and on nothing else, so joining cannot reveal more than the deck does.
 */
export function joinPairs(from: QuantisedColumns, into: QuantisedColumns, at: number): void {
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
