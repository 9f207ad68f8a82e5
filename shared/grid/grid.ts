/**
 * The beat grid: where the beats and bars are. A constant tempo is one segment; a drifting track has many.
 */

export interface GridSegment {
  /** Number of the beat (counted from 0 at the grid's first beat; may be fractional only for the first). */
  startBeat: number;
  /** Time of that beat, s. */
  startTime: number;
  /** Tempo from here to the next segment, beats per minute. */
  bpm: number;
}

/** How sure the grid is over one stretch of the track. */
export interface GridRegion {
  startTime: number;
  endTime: number;
  /** 0..1 */
  confidence: number;
}

export interface BeatGrid {
  /** `none` when there is no steady beat: then `segments` is empty and nothing is drawn. */
  kind: 'constant' | 'variable' | 'none';
  segments: GridSegment[];
  beatsPerBar: number;
  /** Index (0..beatsPerBar-1) of the beat number 0 within its bar: 0 when beat 0 is a downbeat. */
  firstBeatInBar: number;
  /** Bars from beat 0's bar to the first start of an 8-bar phrase (0..7), or null when not known. */
  phraseOffsetBars: number | null;
  /** Time up to which beats are drawn, s (the track's duration). */
  endTime: number;
  /** 0..1: the chance that tempo and phase are right. */
  confidence: number;
  /** 0..1: the chance that the downbeat is right, given that the beats are. */
  downbeatConfidence: number;
  regions: GridRegion[];
}

/** A grid that says "no steady beat". */
export function noGrid(endTime: number): BeatGrid {
  return {
    kind: 'none',
    segments: [],
    beatsPerBar: 4,
    firstBeatInBar: 0,
    phraseOffsetBars: null,
    endTime,
    confidence: 0,
    downbeatConfidence: 0,
    regions: [],
  };
}

/** Time of beat `beat` (any real number) in seconds; beats before the first segment go on at its tempo. */
export function timeOfBeat(grid: BeatGrid, beat: number): number {
  const segment = segmentBy(grid, (s) => s.startBeat <= beat);
  return segment.startTime + ((beat - segment.startBeat) * 60) / segment.bpm;
}

/** Beat number (a real number) at `time` seconds. */
export function beatAtTime(grid: BeatGrid, time: number): number {
  const segment = segmentBy(grid, (s) => s.startTime <= time);
  return segment.startBeat + ((time - segment.startTime) * segment.bpm) / 60;
}

function segmentBy(grid: BeatGrid, startsBefore: (s: GridSegment) => boolean): GridSegment {
  const { segments } = grid;
  if (!segments.length) throw new RangeError('This track has no beat grid.');
  let low = 0;
  let high = segments.length - 1;
  while (low < high) {
    const mid = (low + high + 1) >> 1;
    if (startsBefore(segments[mid])) low = mid;
    else high = mid - 1;
  }
  return segments[low];
}

/** True when beat number `beat` (an integer) is the first of its bar. */
export function isDownbeat(grid: BeatGrid, beat: number): boolean {
  const n = grid.beatsPerBar;
  return (((beat + grid.firstBeatInBar) % n) + n) % n === 0;
}

/** Bar and beat in it, both counted from 1, of beat number `beat` (an integer); bars before the first are 0 and less. */
export function barAndBeat(grid: BeatGrid, beat: number): { bar: number; beat: number } {
  const n = grid.beatsPerBar;
  const bar = Math.floor((beat + grid.firstBeatInBar) / n);
  return { bar: bar + 1, beat: beat + grid.firstBeatInBar - bar * n + 1 };
}

export interface Beat {
  /** s */
  time: number;
  /** Number from the grid's beat 0. */
  beat: number;
  downbeat: boolean;
}

/** All beats with `startTime <= time < endTime`, in order. Empty when there is no grid. */
export function beatsBetween(grid: BeatGrid, startTime: number, endTime: number): Beat[] {
  if (!grid.segments.length) return [];
  const beats: Beat[] = [];
  const from = Math.max(0, startTime);
  const to = Math.min(endTime, grid.endTime);
  // A beat that falls within a nanosecond of the edge belongs to it: the inverse is not exact in floats.
  for (let beat = Math.ceil(beatAtTime(grid, from) - 1e-6); ; beat++) {
    const time = timeOfBeat(grid, beat);
    if (time >= to) return beats;
    if (time >= from - 1e-9) beats.push({ time: Math.max(time, 0), beat, downbeat: isDownbeat(grid, beat) });
  }
}

/** Tempo in force at `time`, beats per minute, or null when there is no grid. */
export function tempoAt(grid: BeatGrid, time: number): number | null {
  return grid.segments.length ? segmentBy(grid, (s) => s.startTime <= time).bpm : null;
}

/** One number for lists: the tempo that holds for the most time, or null when there is no grid. */
export function mainTempo(grid: BeatGrid): number | null {
  const held = new Map<number, number>();
  grid.segments.forEach((s, i) => {
    const end = grid.segments[i + 1]?.startTime ?? grid.endTime;
    held.set(s.bpm, (held.get(s.bpm) ?? 0) + Math.max(0, end - s.startTime));
  });
  if (grid.kind === 'variable') {
    // Many short segments: the median by time says more than the longest one.
    const sorted = [...held].sort((a, b) => a[0] - b[0]);
    const half = sorted.reduce((sum, [, t]) => sum + t, 0) / 2;
    let sum = 0;
    for (const [bpm, t] of sorted) if ((sum += t) >= half) return bpm;
  }
  return [...held].sort((a, b) => b[1] - a[1])[0]?.[0] ?? null;
}
