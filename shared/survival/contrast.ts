/**
 * How much a deck's picture changes at a time: what it paints in the bars before against the bars after, measured
 * on its display columns and on nothing else. The grid only says how long eight bars are.
 */
import type { TrackAnalysis } from '../analysis.ts';
import { BANDS } from '../bands.ts';
import type { DisplayColumns } from '../display/columns.ts';
import { overviewColumns, scrollingColumns } from '../display/model.ts';
import { beatAtTime, type BeatGrid, mainTempo, timeOfBeat } from '../grid/grid.ts';
import type { DeckProfile } from '../profile/schema.ts';
import type { Pyramid } from '../pyramid.ts';
import { cliffsDelta } from './effect.ts';

/** Bars on each side. */
export const WINDOW_BARS = 8;
/** Seconds on each side of a track without a grid: about eight bars at 128 bpm. */
export const WINDOW_SECONDS = 15;
/** Less than this on one side is too little to compare, s (without a grid; else one bar). */
export const LEAST_SECONDS = 2;
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

/** A side that lacks no more than this part of a bar has that bar. */
const BAR_SLACK = 1e-3;

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

export type ContrastTrack = Pick<TrackAnalysis, 'pyramid' | 'grid' | 'duration'>;

/** What was worked out for one track on one deck. */
interface Known {
  /** The picture, at least from the start of the windows to their end. */
  columns(windows: Windows): DisplayColumns;
  at: Map<number, Contrast | null>;
}

/** The columns do not hang on the grid, the windows do; a corrected grid is a new object. */
const kept = new WeakMap<Pyramid, WeakMap<BeatGrid, WeakMap<DeckProfile, Known>>>();

/**
 * Contrast at `time`, s, of what the deck paints, or null where too little of the track lies on one side.
 * Measured on the deck's best scrolling waveform at its nearest zoom stop that shows both sides at once (its widest
 * where none does), or on its overview where nothing scrolls. Kept with the track and the deck.
 */
export function contrastAt(track: ContrastTrack, profile: DeckProfile, time: number): Contrast | null {
  return contrastsOf(track, profile)(time);
}

/** The same for many times of one track on one deck. Of a scrolling picture only what lies around them is made. */
export function contrastsOf(track: ContrastTrack, profile: DeckProfile): (time: number) => Contrast | null {
  let known: Known | null = null;
  return (time) => {
    known ??= knownOf(track, profile);
    let contrast = known.at.get(time);
    if (contrast === undefined) {
      const windows = windowsAt(track, time);
      known.at.set(time, (contrast = windows && measure(known.columns(windows), windows)));
    }
    return contrast;
  };
}

function knownOf(track: ContrastTrack, profile: DeckProfile): Known {
  let byGrid = kept.get(track.pyramid);
  if (!byGrid) kept.set(track.pyramid, (byGrid = new WeakMap()));
  let byDeck = byGrid.get(track.grid);
  if (!byDeck) byGrid.set(track.grid, (byDeck = new WeakMap()));
  let entry = byDeck.get(profile);
  if (!entry) byDeck.set(profile, (entry = { columns: pictureOf(track, profile), at: new Map() }));
  return entry;
}

/** An overview is always a whole; it is made at the first time that is asked for. */
function pictureOf(track: ContrastTrack, profile: DeckProfile): Known['columns'] {
  let overview: DisplayColumns | null = null;
  return ({ start, end }) =>
    overview ?? scrollingPart(track, profile, start, end) ?? (overview = overviewColumns(track, profile));
}

/** The picture that the contrast is measured on. */
export function judgedColumns(track: ContrastTrack, profile: DeckProfile): DisplayColumns {
  return scrollingPart(track, profile, 0, track.duration) ?? overviewColumns(track, profile);
}

/** The deck's scrolling waveform from `startTime` to `endTime`, s, on columns that do not hang on these; or null. */
function scrollingPart(
  track: ContrastTrack,
  profile: DeckProfile,
  startTime: number,
  endTime: number,
): DisplayColumns | null {
  const { kinds, zoomSeconds } = profile.waveform;
  const bpm = mainTempo(track.grid);
  const wanted = 2 * (bpm ? (WINDOW_BARS * track.grid.beatsPerBar * 60) / bpm : WINDOW_SECONDS);
  const fits = zoomSeconds.findIndex((seconds) => seconds >= wanted);
  const view = {
    startTime,
    endTime,
    zoomStop: fits < 0 ? zoomSeconds.length - 1 : fits,
    maxColumns: Number.MAX_SAFE_INTEGER,
  };
  // Without its grid lines, which are no part of the sound's picture.
  const bare = { ...profile, waveform: { ...profile.waveform, grid: 'none' as const } };
  return scrollingColumns(track, bare, kinds[0], view);
}

interface Windows {
  start: number;
  time: number;
  end: number;
  bars: number | null;
}

/** Both sides equally long, so that one loud bar near an end does not outweigh eight. */
function windowsAt({ grid, duration }: ContrastTrack, time: number): Windows | null {
  if (!grid.segments.length) {
    const side = Math.min(WINDOW_SECONDS, time, duration - time);
    return side < LEAST_SECONDS ? null : { start: time - side, time, end: time + side, bars: null };
  }
  const beat = beatAtTime(grid, time);
  const beats = Math.min(beat - beatAtTime(grid, 0), beatAtTime(grid, duration) - beat);
  const bars = Math.min(WINDOW_BARS, Math.floor(beats / grid.beatsPerBar + BAR_SLACK));
  if (bars < 1) return null;
  const side = bars * grid.beatsPerBar;
  return {
    start: Math.max(0, timeOfBeat(grid, beat - side)),
    time,
    end: Math.min(duration, timeOfBeat(grid, beat + side)),
    bars,
  };
}

function measure(columns: DisplayColumns, windows: Windows): Contrast | null {
  const { startTime, secondsPerColumn: width, count, heightSteps, colourSteps, heights } = columns;
  // Columns that lie wholly on one side; the one that holds the time belongs to neither.
  const from = Math.max(0, Math.ceil((windows.start - startTime) / width - 1e-6));
  const before = Math.floor((windows.time - startTime) / width + 1e-6);
  const after = Math.ceil((windows.time - startTime) / width - 1e-6);
  const to = Math.min(count, Math.floor((windows.end - startTime) / width + 1e-6));
  if (before - from < LEAST_COLUMNS || to - after < LEAST_COLUMNS) return null;

  const heightMargin = Math.max(1, Math.round(heightSteps * VISIBLE_HEIGHT));
  const layers: Contrast['layers'] = [];
  for (const [i, layer] of heights.entries()) {
    const left = histogram(layer, from, before, heightSteps + 1);
    const right = histogram(layer, after, to, heightSteps + 1);
    layers.push({
      layer: heights.length > 1 ? BANDS[i] : 'height',
      delta: cliffsDelta(left, right, heightMargin),
    });
  }
  if (colourSteps > 1) {
    const margin = Math.max(1, Math.round(colourSteps * VISIBLE_SHADE));
    const left = shadesOf(columns, from, before);
    const right = shadesOf(columns, after, to);
    layers.push({ layer: 'shade', delta: cliffsDelta(left, right, margin) });
  }
  return {
    value: layers.reduce((most, { delta }) => Math.max(most, Math.abs(delta)), 0),
    layers,
    windowBars: windows.bars,
    secondsBefore: windows.time - windows.start,
    secondsAfter: windows.end - windows.time,
    columnsBefore: before - from,
    columnsAfter: to - after,
  };
}

function histogram(values: Uint16Array, from: number, to: number, steps: number): Uint32Array {
  const counts = new Uint32Array(steps);
  for (let i = from; i < to; i++) counts[values[i]]++;
  return counts;
}

/** Shades of the columns that have a height; the others show none. */
function shadesOf({ heights, colours, colourSteps }: DisplayColumns, from: number, to: number): Uint32Array {
  const counts = new Uint32Array(colourSteps);
  for (let i = from; i < to; i++) if (heights[0][i]) counts[colours[i]]++;
  return counts;
}
