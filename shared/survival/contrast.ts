/**
 * How much a deck's picture changes at a time: what it paints in the bars before against the bars after, measured
 * on its display columns and on nothing else. The grid only says how long eight bars are.
 */
import type { TrackAnalysis } from '../analysis.ts';
import { BANDS } from '../bands.ts';
import type { DisplayColumns } from '../display/columns.ts';
import { type Count, countIn, countInLattice, newCounts, type StepCounts } from '../display/counts.ts';
import { type Lattice, overviewColumns, scrollingColumns, scrollingLattice } from '../display/model.ts';
import type { Resolution } from '../display/quantise.ts';
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

export type ContrastTrack = Pick<TrackAnalysis, 'pyramid' | 'grid' | 'duration'>;

/** What was worked out for one track on one deck. */
interface Known {
  /** Of the track, s. */
  duration: number;
  picture: Picture;
  at: Map<number, Contrast | null>;
}

/** The picture that contrast is measured on, as far as it is asked for. */
interface Picture {
  secondsPerColumn: number;
  /** Columns of the whole track. */
  columns: number;
  resolution: Resolution;
  count: Count;
  /** Used anew for every place. */
  before: StepCounts;
  after: StepCounts;
}

/** By grid, since the columns do not hang on it, but the windows do; a corrected grid is a new object. */
interface KnownOfGrid {
  byDeck: WeakMap<DeckProfile, Known>;
  /** By the facts that matter, since decks often share them. */
  byFacts: Map<string, Known>;
}

const kept = new WeakMap<Pyramid, WeakMap<BeatGrid, KnownOfGrid>>();

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
      known.at.set(time, (contrast = windows && measure(known.picture, windows)));
    }
    return contrast;
  };
}

function knownOf(track: ContrastTrack, profile: DeckProfile): Known {
  let byGrid = kept.get(track.pyramid);
  if (!byGrid) kept.set(track.pyramid, (byGrid = new WeakMap()));
  let ofGrid = byGrid.get(track.grid);
  if (!ofGrid) byGrid.set(track.grid, (ofGrid = { byDeck: new WeakMap(), byFacts: new Map() }));
  let known = ofGrid.byDeck.get(profile);
  if (known?.duration === track.duration) return known;
  const lattice = judgedLattice(track, profile);
  const facts = JSON.stringify([track.duration, lattice ?? profile.overview]);
  known = ofGrid.byFacts.get(facts);
  if (!known) {
    const picture = lattice ? scrollingPicture(track, lattice) : overviewPicture(track, profile);
    ofGrid.byFacts.set(facts, (known = { duration: track.duration, picture, at: new Map() }));
  }
  ofGrid.byDeck.set(profile, known);
  return known;
}

function scrollingPicture({ pyramid, duration }: ContrastTrack, lattice: Lattice): Picture {
  const { secondsPerColumn, resolution } = lattice;
  const columns = Math.max(0, Math.ceil(duration / secondsPerColumn - SLACK));
  return pictureOf(secondsPerColumn, columns, resolution, countInLattice(pyramid, lattice));
}

/** An overview is always a whole. */
function overviewPicture(track: ContrastTrack, profile: DeckProfile): Picture {
  const columns = overviewColumns(track, profile);
  return pictureOf(columns.secondsPerColumn, columns.count, columns, countIn(columns));
}

const pictureOf = (
  secondsPerColumn: number,
  columns: number,
  resolution: Resolution,
  count: Count,
): Picture => ({
  secondsPerColumn,
  columns,
  resolution,
  count,
  before: newCounts(resolution),
  after: newCounts(resolution),
});

/** The picture that the contrast is measured on, as a whole. */
export function judgedColumns(track: ContrastTrack, profile: DeckProfile): DisplayColumns {
  const zoomStop = judgedStop(track, profile);
  const view = { startTime: 0, endTime: track.duration, zoomStop, maxColumns: Number.MAX_SAFE_INTEGER };
  // Without its grid lines, which are no part of the sound's picture.
  const bare = { ...profile, waveform: { ...profile.waveform, grid: 'none' as const } };
  return scrollingColumns(track, bare, profile.waveform.kinds[0], view) ?? overviewColumns(track, profile);
}

/** The columns of the deck's scrolling waveform that are judged, or null where nothing scrolls. */
const judgedLattice = (track: ContrastTrack, profile: DeckProfile): Lattice | null =>
  scrollingLattice(profile, profile.waveform.kinds[0], judgedStop(track, profile));

function judgedStop({ grid }: ContrastTrack, { waveform: { zoomSeconds } }: DeckProfile): number {
  const bpm = mainTempo(grid);
  const wanted = 2 * (bpm ? (WINDOW_BARS * grid.beatsPerBar * 60) / bpm : WINDOW_SECONDS);
  const fits = zoomSeconds.findIndex((seconds) => seconds >= wanted);
  return fits < 0 ? zoomSeconds.length - 1 : fits;
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

function measure(picture: Picture, windows: Windows): Contrast | null {
  const { secondsPerColumn: width, before: left, after: right } = picture;
  const { heightSteps, colourSteps } = picture.resolution;
  // Columns that lie wholly on one side; the one that holds the time belongs to neither.
  const from = Math.max(0, Math.ceil(windows.start / width - SLACK));
  const before = Math.floor(windows.time / width + SLACK);
  const after = Math.ceil(windows.time / width - SLACK);
  const to = Math.min(picture.columns, Math.floor(windows.end / width + SLACK));
  if (before - from < LEAST_COLUMNS || to - after < LEAST_COLUMNS) return null;

  picture.count(from, before, left);
  picture.count(after, to, right);
  const heightMargin = Math.max(1, Math.round(heightSteps * VISIBLE_HEIGHT));
  const layers = left.heights.map((counts, i): Contrast['layers'][number] => ({
    layer: left.heights.length > 1 ? BANDS[i] : 'height',
    delta: cliffsDelta(counts, right.heights[i], heightMargin),
  }));
  if (colourSteps > 1) {
    const margin = Math.max(1, Math.round(colourSteps * VISIBLE_SHADE));
    layers.push({ layer: 'shade', delta: cliffsDelta(left.shades, right.shades, margin) });
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
