/** The pieces of time that the structure is counted in: bars where there is a grid, else equal stretches. */
import { beatsBetween, type BeatGrid } from '../../../shared/grid/grid.ts';

export interface Cells {
  /** s: start of each cell, in order. Cell i ends where cell i+1 starts, the last one at `end`. */
  starts: number[];
  /** s */
  end: number;
  /** True when cells are bars. */
  bars: boolean;
  /** Cells from cell 0 to the first start of an 8-bar phrase (0..7), or null when not known. */
  phraseOffset: number | null;
}

export const PHRASE_BARS = 8;
/** Length of a cell when there is no grid, s. */
export const PLAIN_SECONDS = 2;
/** A piece shorter than this share of its neighbour is joined to it. */
const LEAST_SHARE = 0.5;
/** Grid confidence below which bars are not worth building on. */
const LEAST_CONFIDENCE = 0.15;

export function cellsOf(grid: BeatGrid, duration: number): Cells {
  if (grid.kind === 'none' || grid.confidence < LEAST_CONFIDENCE) return plainCells(duration);
  const downbeats = beatsBetween(grid, 0, duration).filter((beat) => beat.downbeat);
  if (downbeats.length < 2) return plainCells(duration);
  const starts = downbeats.map((beat) => beat.time);
  let phraseOffset: number | null = null;
  if (grid.phraseOffsetBars !== null) {
    // Bars are counted from the one that beat 0 lies in.
    const barOfFirst = Math.round((downbeats[0].beat + grid.firstBeatInBar) / grid.beatsPerBar);
    phraseOffset = modulo(grid.phraseOffsetBars - barOfFirst, PHRASE_BARS);
  }
  if (starts[0] > LEAST_SHARE * (starts[1] - starts[0])) {
    starts.unshift(0);
    if (phraseOffset !== null) phraseOffset = (phraseOffset + 1) % PHRASE_BARS;
  } else starts[0] = 0;
  const bar = starts.at(-1)! - starts.at(-2)!;
  if (starts.length > 2 && duration - starts.at(-1)! < LEAST_SHARE * bar) starts.pop();
  return { starts, end: duration, bars: true, phraseOffset };
}

function plainCells(duration: number): Cells {
  const count = Math.max(1, Math.floor(duration / PLAIN_SECONDS));
  const starts = Array.from({ length: count }, (_, i) => i * PLAIN_SECONDS);
  return { starts, end: duration, bars: false, phraseOffset: null };
}

/** s: where cell `index` starts; the end of the track for the index past the last. */
export function cellTime(cells: Cells, index: number): number {
  return cells.starts[index] ?? cells.end;
}

export function modulo(a: number, n: number): number {
  return ((a % n) + n) % n;
}
