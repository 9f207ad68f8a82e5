/**
 * A beat grid that a person has corrected: the grid itself, readable by everything that reads grids, and what
 * it was made from, so that an anchor can be moved or taken out again.
 */
import { type BeatGrid, type GridSegment, beatAtTime, timeOfBeat } from './grid.ts';

/** A beat pinned to a time by the person. */
export interface GridAnchor {
  /** Number of the beat. */
  beat: number;
  /** s */
  time: number;
}

/** In a corrected grid any segment may start between two beats. */
export interface EditedGrid extends BeatGrid {
  /** In order of beat and time. */
  anchors?: GridAnchor[];
  /** The segments before the anchors bent them; kept only while there are anchors. */
  unanchored?: GridSegment[];
  /** The downbeat from which a change by halves or thirds counted last: going back must count from the same. */
  scaledFrom?: number;
  /** No edit may change it until it is unlocked. */
  locked?: boolean;
}

/** Slowest and fastest tempo that a correction may lead to, beats per minute. */
export const MIN_BPM = 20;
export const MAX_BPM = 400;
/** Bars of the phrases that `phraseOffsetBars` counts. */
export const PHRASE_BARS = 8;
/**
 * Seconds from the first to the last anchor from which on their tempo is believed beyond them too. Nearer ones
 * say too little about tempo: 5 ms in one second would be half a per cent. Estimate.
 */
export const TRUSTED_SECONDS = 8;
/** Relative difference below which two tempi are one: what rounding leaves. */
const SAME_TEMPO = 1e-9;

/** An edit that cannot be made. `message` is one plain sentence with the remedy. */
export class GridEditFault extends Error {
  override name = 'GridEditFault';
}

export const hasBeats = (grid: BeatGrid): boolean => grid.segments.length > 0;

/** Whole multiples taken off, also of negative numbers. */
export const modulo = (value: number, by: number): number => ((value % by) + by) % by;

/** Throws when the grid is locked, or (unless allowed) has no beats. */
export function checkEditable(grid: EditedGrid, needsBeats = true): void {
  if (grid.locked) throw new GridEditFault('The grid is locked. Unlock it to change it.');
  if (needsBeats && !hasBeats(grid)) {
    throw new GridEditFault('This track has no grid yet. Type a tempo or tap along first.');
  }
}

/** The grid without its anchors' bends. */
export function baseOf(grid: EditedGrid): EditedGrid {
  return grid.anchors?.length && grid.unanchored ? { ...grid, segments: grid.unanchored } : grid;
}

/**
 * The grid of `segments` bent so that it hits every anchor exactly.
 *
 * Between two anchors time is stretched evenly. Before the first and after the last the tempo is that of
 * `segments`, moved along; where these are one constant tempo and the anchors lie TRUSTED_SECONDS apart, it is
 * that between the outermost two.
 * @throws GridEditFault when a tempo leaves MIN_BPM..MAX_BPM or the anchors are not in order
 */
export function withAnchors(
  grid: EditedGrid,
  segments: readonly GridSegment[],
  anchors: readonly GridAnchor[],
): EditedGrid {
  const { anchors: _anchors, unanchored: _unanchored, ...rest } = grid;
  if (!anchors.length) return checkTempi({ ...rest, kind: kindOf(segments), segments: [...segments] });
  const base: EditedGrid = { ...rest, segments: [...segments] };
  const bent = bend(base, anchors);
  return checkTempi({
    ...rest,
    kind: kindOf(bent),
    segments: bent,
    anchors: [...anchors],
    unanchored: [...segments],
  });
}

function bend(base: BeatGrid, anchors: readonly GridAnchor[]): GridSegment[] {
  const first = anchors[0];
  const last = anchors[anchors.length - 1];
  const at = (beat: number) => timeOfBeat(base, beat);
  const stretch = (a: GridAnchor, b: GridAnchor) => (b.time - a.time) / (at(b.beat) - at(a.beat));
  const trusted = base.segments.length === 1 && last.time - first.time >= TRUSTED_SECONDS;
  const outer = trusted ? stretch(first, last) : 1;

  const lead = Math.min(Math.floor(beatAtTime(base, 0)) - 1, first.beat - 1);
  const starts = new Set([
    lead,
    ...anchors.map((a) => a.beat),
    ...base.segments.map((s) => s.startBeat).filter((beat) => beat > lead),
  ]);
  const segments: GridSegment[] = [];
  let next = 0;
  for (const startBeat of [...starts].sort((a, b) => a - b)) {
    while (next < anchors.length && anchors[next].beat <= startBeat) next++;
    const from = anchors[next - 1] ?? first;
    const factor = next > 0 && next < anchors.length ? stretch(from, anchors[next]) : outer;
    const startTime =
      from.beat === startBeat ? from.time : from.time + (at(startBeat) - at(from.beat)) * factor;
    const bpm = tempoFrom(base, startBeat) / factor;
    const before = segments[segments.length - 1];
    // A bend of nothing is left out, but an anchor's own segment wins, so that its time is met exactly.
    if (before && sameTempo(before.bpm, bpm)) {
      if (from.beat !== startBeat) continue;
      if (segments.length === 1 && startBeat === first.beat) segments.pop();
    }
    segments.push({ startBeat, startTime, bpm });
  }
  return segments;
}

/** Tempo of the base from beat `beat` on. */
function tempoFrom(base: BeatGrid, beat: number): number {
  return (base.segments.findLast((s) => s.startBeat <= beat) ?? base.segments[0]).bpm;
}

function sameTempo(a: number, b: number): boolean {
  return Math.abs(a - b) <= SAME_TEMPO * Math.abs(b);
}

function kindOf(segments: readonly GridSegment[]): BeatGrid['kind'] {
  if (!segments.length) return 'none';
  return segments.every((s) => sameTempo(s.bpm, segments[0].bpm)) ? 'constant' : 'variable';
}

function checkTempi(grid: EditedGrid): EditedGrid {
  for (const { bpm } of grid.segments) {
    if (bpm >= MIN_BPM && bpm <= MAX_BPM) continue;
    throw new GridEditFault(
      `This would bring the tempo outside ${MIN_BPM} to ${MAX_BPM} bpm, so the grid stays as it is.`,
    );
  }
  return grid;
}

/**
 * Counts the beats anew, so that beat `beat` becomes beat 0. Times, bars and phrases stay where they are.
 */
export function renumbered(grid: EditedGrid, beat: number): EditedGrid {
  if (beat === 0) return grid;
  const { beatsPerBar, firstBeatInBar, phraseOffsetBars } = grid;
  const phraseBeat = phraseOffsetBars === null ? null : phraseOffsetBars * beatsPerBar - firstBeatInBar;
  const counted: EditedGrid = {
    ...grid,
    segments: grid.segments.map((s) => ({ ...s, startBeat: s.startBeat - beat })),
    firstBeatInBar: modulo(firstBeatInBar + beat, beatsPerBar),
  };
  if (grid.anchors) counted.anchors = grid.anchors.map((a) => ({ ...a, beat: a.beat - beat }));
  if (grid.scaledFrom !== undefined) counted.scaledFrom = grid.scaledFrom - beat;
  if (grid.unanchored) {
    counted.unanchored = grid.unanchored.map((s) => ({ ...s, startBeat: s.startBeat - beat }));
  }
  return phraseBeat === null ? counted : phraseFrom(counted, phraseBeat - beat);
}

/** Notes that an 8-bar phrase starts at beat `beat`, which must be a downbeat. */
export function phraseFrom(grid: EditedGrid, beat: number): EditedGrid {
  const bar = Math.round((beat + grid.firstBeatInBar) / grid.beatsPerBar);
  return { ...grid, phraseOffsetBars: modulo(bar, PHRASE_BARS) };
}

/** A downbeat to count from: the first phrase start where phrases are known, else the first downbeat. */
export function referenceDownbeat(grid: BeatGrid): number {
  const { beatsPerBar, firstBeatInBar, phraseOffsetBars } = grid;
  return phraseOffsetBars === null
    ? modulo(-firstBeatInBar, beatsPerBar)
    : phraseOffsetBars * beatsPerBar - firstBeatInBar;
}
