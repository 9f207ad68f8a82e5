/** A stretch of a track reduced to the columns, heights and colours of one display. */
import { BANDS } from '../bands.ts';
import type { Pyramid } from '../pyramid.ts';
import type { ColumnKind } from './columns.ts';
import { bandBalance, colourStep, heightTable, levelOf, trebleShare } from './heights.ts';
import { type Spans, spansOf } from './spans.ts';

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

/*
 * The loops below are where the time of a display goes. Each goes over the fine columns once and takes all layers at
 * once, since the sums of one layer have to wait for one another and those of several do not. Levels are rounded to
 * single precision as they are in the pyramid.
 */

/** Heights of bass, middle and treble. */
function bandHeights(
  { level, first, last, begin, end }: Spans,
  table: Uint16Array,
  [bass, middle, treble]: readonly Uint16Array[],
) {
  const final = level.length - 1;
  const [bassPeak, middlePeak, treblePeak] = level.peak;
  const [bassRms, middleRms, trebleRms] = level.rms;
  for (let column = begin; column < end; column++) {
    const from = first[column];
    const to = Math.min(last[column], final);
    if (to < from) continue;
    let bassTop = 0;
    let middleTop = 0;
    let trebleTop = 0;
    let bassPower = 0;
    let middlePower = 0;
    let treblePower = 0;
    for (let i = from; i <= to; i++) {
      if (bassPeak[i] > bassTop) bassTop = bassPeak[i];
      if (middlePeak[i] > middleTop) middleTop = middlePeak[i];
      if (treblePeak[i] > trebleTop) trebleTop = treblePeak[i];
      bassPower += bassRms[i] * bassRms[i];
      middlePower += middleRms[i] * middleRms[i];
      treblePower += trebleRms[i] * trebleRms[i];
    }
    const length = to - from + 1;
    bass[column] = table[levelOf(bassTop, rootMean(bassPower, length))];
    middle[column] = table[levelOf(middleTop, rootMean(middlePower, length))];
    treble[column] = table[levelOf(trebleTop, rootMean(treblePower, length))];
  }
}

/** Heights of the whole signal. */
function wholeHeights({ level, first, last, begin, end }: Spans, table: Uint16Array, heights: Uint16Array) {
  const final = level.length - 1;
  const peak = level.peak[FULL];
  const rms = level.rms[FULL];
  for (let column = begin; column < end; column++) {
    const from = first[column];
    const to = Math.min(last[column], final);
    if (to < from) continue;
    let top = 0;
    let power = 0;
    for (let i = from; i <= to; i++) {
      if (peak[i] > top) top = peak[i];
      power += rms[i] * rms[i];
    }
    heights[column] = table[levelOf(top, rootMean(power, to - from + 1))];
  }
}

/** The same, and shades by the share of the bands. */
function shadedHeights(
  { level, first, last, begin, end }: Spans,
  table: Uint16Array,
  share: (bass: number, middle: number, treble: number) => number,
  steps: number,
  heights: Uint16Array,
  colours: Uint8Array,
) {
  const final = level.length - 1;
  const peak = level.peak[FULL];
  const rms = level.rms[FULL];
  const [bass, middle, treble] = level.rms;
  for (let column = begin; column < end; column++) {
    const from = first[column];
    const to = Math.min(last[column], final);
    if (to < from) continue;
    let top = 0;
    let power = 0;
    let bassPower = 0;
    let middlePower = 0;
    let treblePower = 0;
    for (let i = from; i <= to; i++) {
      if (peak[i] > top) top = peak[i];
      power += rms[i] * rms[i];
      bassPower += bass[i] * bass[i];
      middlePower += middle[i] * middle[i];
      treblePower += treble[i] * treble[i];
    }
    const length = to - from + 1;
    const height = table[levelOf(top, rootMean(power, length))];
    // A column without height shows no colour, so it must not carry one.
    if (!height) continue;
    heights[column] = height;
    colours[column] = colourStep(
      share(rootMean(bassPower, length), rootMean(middlePower, length), rootMean(treblePower, length)),
      steps,
    );
  }
}

const rootMean = (power: number, length: number): number => Math.fround(Math.sqrt(power / length));

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
  const [heights] = out.heights;
  if (kind === 'three-band') bandHeights(spans, table, out.heights);
  else if (kind === 'plain') wholeHeights(spans, table, heights);
  else {
    const share = kind === 'tint' ? bandBalance : trebleShare;
    shadedHeights(spans, table, share, colourSteps, heights, out.colours);
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
