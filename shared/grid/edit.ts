/**
 * Corrections of a beat grid by hand: pure functions from grid to grid. Each throws a GridEditFault with one
 * plain sentence when it cannot be made; the given grid is never changed.
 */
import {
  baseOf,
  checkEditable,
  type EditedGrid,
  type GridAnchor,
  GridEditFault,
  hasBeats,
  MAX_BPM,
  MIN_BPM,
  modulo,
  phraseFrom,
  referenceDownbeat,
  renumbered,
  withAnchors,
} from './edit-model.ts';
import { beatAtTime, type GridSegment, timeOfBeat } from './grid.ts';

/** Time before which a beat is not counted as the track's first, s: what rounding leaves. */
const EDGE = 1e-6;
/** Longest shift at once that makes sense, s. */
const MAX_NUDGE_MS = 60_000;

/** Moves every beat by `ms` milliseconds, anchors included. */
export function nudge(grid: EditedGrid, ms: number): EditedGrid {
  checkEditable(grid);
  if (!(Math.abs(ms) <= MAX_NUDGE_MS)) throw new GridEditFault('That is too far to move a grid at once.');
  return moved(grid, ms / 1000);
}

function moved(grid: EditedGrid, seconds: number): EditedGrid {
  const shift = (segments: readonly GridSegment[]) =>
    segments.map((s) => ({ ...s, startTime: s.startTime + seconds }));
  const result: EditedGrid = { ...grid, segments: shift(grid.segments) };
  if (grid.unanchored) result.unanchored = shift(grid.unanchored);
  if (grid.anchors) result.anchors = grid.anchors.map((a) => ({ ...a, time: a.time + seconds }));
  return result;
}

/**
 * "This is beat one": the beat nearest to `time` moves exactly there, the whole grid with it (by half a beat at
 * most, tempo and anchors' distances kept), and begins a bar. Phrases keep their bar as nearly as they can.
 */
export function setBeatOne(grid: EditedGrid, time: number): EditedGrid {
  checkEditable(grid);
  checkTime(grid, time);
  const beat = Math.round(beatAtTime(grid, time));
  return barFrom(moved(grid, time - timeOfBeat(grid, beat)), beat);
}

/** Turns the bars by `beats` beats (later where positive) and leaves the beats where they are. */
export function turnBars(grid: EditedGrid, beats: number): EditedGrid {
  checkEditable(grid);
  return barFrom(grid, modulo(-grid.firstBeatInBar, grid.beatsPerBar) + Math.round(beats));
}

/** The bar whose start is nearest to `time` begins an 8-bar phrase. */
export function setPhraseStart(grid: EditedGrid, time: number): EditedGrid {
  checkEditable(grid);
  checkTime(grid, time);
  const { beatsPerBar, firstBeatInBar } = grid;
  const bar = Math.round((beatAtTime(grid, time) + firstBeatInBar) / beatsPerBar);
  return phraseFrom({ ...grid, scaledFrom: undefined }, bar * beatsPerBar - firstBeatInBar);
}

/** Lets beat `beat` begin a bar; a known phrase start goes to the nearest of the new downbeats. */
function barFrom(grid: EditedGrid, beat: number): EditedGrid {
  const { beatsPerBar, phraseOffsetBars } = grid;
  const turned: EditedGrid = {
    ...grid,
    firstBeatInBar: modulo(-beat, beatsPerBar),
    scaledFrom: undefined,
  };
  if (phraseOffsetBars === null) return turned;
  const before = referenceDownbeat(grid);
  const bar = Math.round((before + turned.firstBeatInBar) / beatsPerBar);
  return phraseFrom(turned, bar * beatsPerBar - turned.firstBeatInBar);
}

/**
 * Counts `by.over` beats as `by.beats`: { 1, 2 } halves the tempo, { 2, 1 } doubles it, { 3, 2 } and { 2, 3 }
 * change between twos and threes. A downbeat (a phrase start where phrases are known) stays one, so that going
 * back the other way gives the same beats, bars and phrases.
 */
export function scaleTempo(grid: EditedGrid, by: { beats: number; over: number }): EditedGrid {
  checkEditable(grid);
  const ratio = by.beats / by.over;
  // From beat 0 = that downbeat all numbers scale without a rest.
  const centred = { ...renumbered(grid, grid.scaledFrom ?? referenceDownbeat(grid)), scaledFrom: 0 };
  const scale = (segments: readonly GridSegment[]) =>
    segments.map((s) => ({ ...s, startBeat: s.startBeat * ratio, bpm: s.bpm * ratio }));
  const anchors = (centred.anchors ?? []).map((a) => ({ ...a, beat: a.beat * ratio }));
  return countedFromStart(withAnchors(centred, scale(baseOf(centred).segments), anchors));
}

/**
 * One constant tempo for the whole track; the beat nearest to `time` (the playhead) stays in place, and with it
 * bars and phrases as counted from there. Anchors, which would bend it, are taken out. A track without a grid
 * gets its beat one at `time`.
 */
export function setTempo(grid: EditedGrid, bpm: number, time: number): EditedGrid {
  checkEditable(grid, false);
  if (!(bpm >= MIN_BPM && bpm <= MAX_BPM)) {
    throw new GridEditFault(`Type a tempo between ${MIN_BPM} and ${MAX_BPM} bpm.`);
  }
  checkTime(grid, time);
  if (!hasBeats(grid)) return constantFrom(grid, bpm, 0, time);
  const beat = Math.round(beatAtTime(grid, time));
  return constantFrom(grid, bpm, beat, timeOfBeat(grid, beat));
}

/** One tempo with beat `beat` at `time` s. */
export function constantFrom(grid: EditedGrid, bpm: number, beat: number, time: number): EditedGrid {
  return countedFromStart(withAnchors(grid, [{ startBeat: beat, startTime: time, bpm }], []));
}

/** Beat 0 is the first beat of the track again. */
function countedFromStart(grid: EditedGrid): EditedGrid {
  return renumbered(grid, Math.ceil(beatAtTime(grid, 0) - EDGE));
}

/** Pins the beat nearest to `time` to it. A beat that is pinned already is pinned anew. */
export function addAnchor(grid: EditedGrid, time: number): EditedGrid {
  checkEditable(grid);
  checkTime(grid, time);
  const beat = Math.round(beatAtTime(grid, time));
  const pinned = anchorsOf(grid).find((a) => Math.abs(a.beat - beat) < 0.5);
  return pin(grid, { beat: pinned?.beat ?? beat, time });
}

/** Moves the anchor of beat `beat` to `time`. */
export function moveAnchor(grid: EditedGrid, beat: number, time: number): EditedGrid {
  checkEditable(grid);
  checkTime(grid, time);
  checkAnchor(grid, beat);
  return pin(grid, { beat, time });
}

/** Takes the anchor of beat `beat` out; what it had bent goes back. */
export function removeAnchor(grid: EditedGrid, beat: number): EditedGrid {
  checkEditable(grid);
  checkAnchor(grid, beat);
  return withAnchors(
    grid,
    baseOf(grid).segments,
    anchorsOf(grid).filter((a) => a.beat !== beat),
  );
}

function pin(grid: EditedGrid, anchor: GridAnchor): EditedGrid {
  const others = anchorsOf(grid).filter((a) => a.beat !== anchor.beat);
  const anchors = [...others, anchor].sort((a, b) => a.beat - b.beat);
  if (anchors.some((a, i) => i > 0 && a.time <= anchors[i - 1].time)) {
    throw new GridEditFault('An anchor cannot pass another one. Remove one of them first.');
  }
  return withAnchors(grid, baseOf(grid).segments, anchors);
}

/** The person's anchors, in order. */
export function anchorsOf(grid: EditedGrid): readonly GridAnchor[] {
  return grid.anchors ?? [];
}

/**
 * How far the anchor of beat `beat` may go without a tempo leaving its bounds or passing a neighbour.
 * @returns s, within the track
 */
export function anchorRoom(grid: EditedGrid, beat: number): { from: number; to: number } {
  const anchors = anchorsOf(grid);
  const at = anchors.findIndex((a) => a.beat === beat);
  const before = anchors[at - 1];
  const after = anchors[at + 1];
  const room = { from: 0, to: grid.endTime };
  const least = (beats: number) => (beats * 60) / MAX_BPM;
  const most = (beats: number) => (beats * 60) / MIN_BPM;
  if (before) {
    room.from = Math.max(room.from, before.time + least(beat - before.beat));
    room.to = Math.min(room.to, before.time + most(beat - before.beat));
  }
  if (after) {
    room.to = Math.min(room.to, after.time - least(after.beat - beat));
    room.from = Math.max(room.from, after.time - most(after.beat - beat));
  }
  return room;
}

/** A locked grid refuses every edit, and is kept as it is when the track is analysed again. */
export function setLocked(grid: EditedGrid, locked: boolean): EditedGrid {
  const { locked: _locked, ...rest } = grid;
  return locked ? { ...rest, locked } : rest;
}

function checkAnchor(grid: EditedGrid, beat: number): void {
  if (!anchorsOf(grid).some((a) => a.beat === beat)) throw new GridEditFault('There is no such anchor.');
}

function checkTime(grid: EditedGrid, time: number): void {
  if (time >= 0 && time <= grid.endTime) return;
  throw new GridEditFault('That is outside the track.');
}
