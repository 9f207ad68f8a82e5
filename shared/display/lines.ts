/** The grid as a deck draws it. */
import { beatsBetween, tempoAt } from '../grid/grid.ts';
import type { BeatGrid } from '../grid/grid.ts';
import type { DeckProfile } from '../profile/schema.ts';
import type { GridLine } from './columns.ts';

/** Lines nearer to each other than this many columns cannot be told apart and are left out. Estimate. */
export const MIN_COLUMNS_BETWEEN_LINES = 4;
/** Slack for a line on the very edge of a column, in columns. */
const COLUMN_SLACK = 1e-6;

/**
 * Grid lines from `startTime` to `endTime`. Each stands in the middle of the deck's column that its beat falls
 * into, since a display cannot show it more exactly. Where beats lie too close, only the downbeats are drawn,
 * on a deck that tells them from beats; where these do, nothing is.
 * @param deckColumn width of the deck's own column, s
 * @param shownColumn width of the column that is shown (one or several of the deck's joined), s
 */
export function deckGridLines(
  grid: BeatGrid,
  profile: DeckProfile,
  startTime: number,
  endTime: number,
  deckColumn: number,
  shownColumn: number,
): GridLine[] {
  const { grid: drawn, gridPlace } = profile.waveform;
  const bpm = tempoAt(grid, startTime);
  if (drawn === 'none' || gridPlace === 'nowhere' || !bpm) return [];
  const tellsBars = drawn === 'beats-and-bars';
  const columnsPerBeat = 60 / bpm / shownColumn;
  const beatsFit = columnsPerBeat >= MIN_COLUMNS_BETWEEN_LINES;
  const barsFit = tellsBars && columnsPerBeat * grid.beatsPerBar >= MIN_COLUMNS_BETWEEN_LINES;
  if (!beatsFit && !barsFit) return [];
  // A beat near the edge may have its line on the other side: each line belongs to the stretch that holds it.
  return beatsBetween(grid, startTime - deckColumn, endTime + deckColumn)
    .filter((beat) => beatsFit || beat.downbeat)
    .map((beat): GridLine => ({
      time: (Math.floor(beat.time / deckColumn + COLUMN_SLACK) + 0.5) * deckColumn,
      kind: tellsBars && beat.downbeat ? 'downbeat' : 'beat',
    }))
    .filter(({ time }) => time >= startTime && time < endTime);
}
