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

/** Heights of one layer: peak and RMS of each column in one pass, since a library has millions of them. */
function heightsOf(
  { level, first, last }: Spans,
  layer: number,
  table: Uint16Array,
  heights: Uint16Array,
): void {
  const peaks = level.peak[layer];
  const rms = level.rms[layer];
  for (let column = 0; column < heights.length; column++) {
    const from = first[column];
    const to = last[column];
    let top = 0;
    let power = 0;
    for (let i = from; i <= to; i++) {
      top = Math.max(top, peaks[i]);
      power += rms[i] * rms[i];
    }
    heights[column] = table[levelOf(top, rmsFrom(power, to - from + 1))];
  }
}

/** Rounded as the pyramid's own levels are. */
const rmsFrom = (power: number, count: number): number =>
  power > 0 ? Math.fround(Math.sqrt(power / count)) : 0;

function rmsAt(fine: Float32Array, from: number, to: number): number {
  let power = 0;
  for (let i = from; i <= to; i++) power += fine[i] * fine[i];
  return rmsFrom(power, to - from + 1);
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
  out.heights.forEach((heights, row) => heightsOf(spans, kind === 'three-band' ? row : FULL, table, heights));
  if (kind !== 'tint' && kind !== 'single') return out;
  const share = kind === 'tint' ? bandBalance : trebleShare;
  const { level, first, last } = spans;
  const [bass, middle, treble] = level.rms;
  const [heights] = out.heights;
  for (let i = 0; i < count; i++) {
    // A column without height shows no colour, so it must not carry one.
    if (!heights[i]) continue;
    const [from, to] = [first[i], last[i]];
    const balance = share(rmsAt(bass, from, to), rmsAt(middle, from, to), rmsAt(treble, from, to));
    out.colours[i] = colourStep(balance, colourSteps);
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
