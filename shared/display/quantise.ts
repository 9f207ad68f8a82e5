/** Columns of a pyramid reduced to the heights and colours of one display. */
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

/** Colour steps that a kind has: those coloured by layer, and the flat one, have one. */
export const coloursOf = (kind: ColumnKind, steps: number): number =>
  kind === 'tint' || kind === 'single' ? steps : 1;

/** Layers of heights that a kind has. */
export const layersOf = (kind: ColumnKind): number => (kind === 'three-band' ? BANDS.length : 1);

/** Index of the whole signal in the pyramid's layers. */
const FULL = BANDS.length;

/** Where equal columns that begin with the track are read from. */
export interface Source {
  level: PyramidLevel;
  /** Fine columns in one column: the same choice as in `readPyramid`. */
  ratio: number;
}

/** The coarsest level that has two columns in each of `width` s; null where the pyramid has nothing. */
export function sourceOf({ levels }: Pyramid, width: number): Source | null {
  const level = levels.findLast(({ hop }) => hop * 2 <= width) ?? levels[0];
  return level?.length ? { level, ratio: width / level.hop } : null;
}

/** Rounding of floats that is let pass, in fine columns. */
const SLACK = 1e-6;

/*
 * The two functions below are where the time of a display goes. They give what `readPyramid` gives: levels are rounded
 * to single precision as they are in the pyramid, and the powers of a column are added in their order. A column reaches
 * from the fine column that its left edge lies in (`first`) to the one before `past`, in which its right edge does.
 */

/** A level, and its bits. */
const float = new Float32Array(1);
const bits = new Int32Array(float.buffer);

/**
 * Heights of one of a display's layers in columns `from` to `to - 1`, written there into `heights`.
 * Peaks are compared by their bits, whose order is that of the numbers where none is negative: so the processor has
 * no branch to guess, which in music it guesses badly.
 */
export function heightsInto(
  { level, ratio }: Source,
  { kind, heightSteps }: Resolution,
  layer: number,
  from: number,
  to: number,
  heights: Uint16Array,
): void {
  const at = kind === 'three-band' ? layer : FULL;
  const rms = level.rms[at];
  const peak = new Int32Array(level.peak[at].buffer, level.peak[at].byteOffset, level.length);
  const table = heightTable(heightSteps);
  const end = level.length;
  let next = (from * ratio + SLACK) | 0;
  for (let column = from; column < to; column++) {
    const first = next;
    const edge = (column + 1) * ratio;
    next = (edge + SLACK) | 0;
    const past = Math.min(end, edge - next > SLACK ? next + 1 : next);
    if (past <= first) continue;
    let top = 0;
    let power = 0;
    let i = first;
    for (; i + 4 <= past; i += 4) {
      const r0 = rms[i];
      const r1 = rms[i + 1];
      const r2 = rms[i + 2];
      const r3 = rms[i + 3];
      power = power + r0 * r0 + r1 * r1 + r2 * r2 + r3 * r3;
      const left = larger(peak[i], peak[i + 1]);
      const right = larger(peak[i + 2], peak[i + 3]);
      top = larger(top, larger(left, right));
    }
    for (; i < past; i++) {
      top = larger(top, peak[i]);
      power += rms[i] * rms[i];
    }
    bits[0] = top;
    heights[column] = table[levelOf(float[0], rootMean(power, past - first))];
  }
}

/**
 * Shades of columns `from` to `to - 1` by the share of the bands, written there into `colours`: of a kind that has
 * shades.
 * @param heights of the same columns: one without a height shows no colour, so it must not carry one
 */
export function coloursInto(
  { level, ratio }: Source,
  { kind, colourSteps }: Resolution,
  heights: Uint16Array,
  from: number,
  to: number,
  colours: Uint8Array,
): void {
  const share = kind === 'tint' ? bandBalance : trebleShare;
  const [bass, middle, treble] = level.rms;
  const end = level.length;
  let next = (from * ratio + SLACK) | 0;
  for (let column = from; column < to; column++) {
    const first = next;
    const edge = (column + 1) * ratio;
    next = (edge + SLACK) | 0;
    if (!heights[column]) continue;
    const past = Math.min(end, edge - next > SLACK ? next + 1 : next);
    let bassPower = 0;
    let middlePower = 0;
    let treblePower = 0;
    for (let i = first; i < past; i++) {
      bassPower += bass[i] * bass[i];
      middlePower += middle[i] * middle[i];
      treblePower += treble[i] * treble[i];
    }
    const length = past - first;
    colours[column] = colourStep(
      share(rootMean(bassPower, length), rootMean(middlePower, length), rootMean(treblePower, length)),
      colourSteps,
    );
  }
}

/** The larger of two numbers from 0 to 2³¹ − 1, without a branch. */
function larger(a: number, b: number): number {
  const difference = (a - b) | 0;
  return (a - (difference & (difference >> 31))) | 0;
}

const rootMean = (power: number, length: number): number => Math.fround(Math.sqrt(power / length));
