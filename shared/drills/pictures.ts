/** The pictures that a drill may show: display columns of one deck with a mark on them, and nothing else. */
import type { DisplayColumns } from '../display/columns.ts';
import { overviewColumns, scrollingColumns } from '../display/model.ts';
import type { DeckProfile } from '../profile/schema.ts';
import type { DrillTrack, Strip } from './types.ts';

/** Share of a scrolling picture that lies before the playhead. Common practice, no source. */
export const PLAYHEAD_SHARE = 0.5;
const COLUMN_SLACK = 1e-6;

export const scrolls = ({ waveform }: DeckProfile): boolean =>
  waveform.scrolling && waveform.kinds.length > 0 && waveform.zoomSeconds.length > 0;

/** The deck's overview of the whole track, marked at `mark` s. */
export function overviewStrip(track: DrillTrack, deck: DeckProfile, mark: number | null): Strip {
  return marked(overviewColumns(track.analysis, deck), mark);
}

/** Width of one column of the deck's overview, s. */
export const overviewColumn = (track: DrillTrack, deck: DeckProfile): number =>
  track.analysis.duration / deck.overview.columns;

/**
 * The deck's scrolling waveform from `from` to `to` s, at the nearest of its zoom stops that shows as much at once,
 * or its widest. null where nothing scrolls.
 */
export function scrollingStrip(
  track: DrillTrack,
  deck: DeckProfile,
  from: number,
  to: number,
  mark: number | null,
): Strip | null {
  if (!scrolls(deck)) return null;
  const columns = scrollingColumns(track.analysis, deck, deck.waveform.kinds[0], {
    startTime: from,
    endTime: to,
    zoomStop: stopFor(deck, to - from),
    maxColumns: Number.MAX_SAFE_INTEGER,
  });
  return columns && marked(columns, mark);
}

/** The nearest zoom stop that shows `seconds` at once, or the widest. */
export function stopFor({ waveform: { zoomSeconds } }: DeckProfile, seconds: number): number {
  const fits = zoomSeconds.findIndex((visible) => visible >= seconds - COLUMN_SLACK);
  return fits < 0 ? zoomSeconds.length - 1 : fits;
}

/** The deck's scrolling waveform around a playhead at `time`, at a zoom stop that shows `seconds`. */
export function aroundPlayhead(
  track: DrillTrack,
  deck: DeckProfile,
  time: number,
  seconds: number,
): Strip | null {
  const from = time - PLAYHEAD_SHARE * seconds;
  return scrollingStrip(track, deck, from, from + seconds, time);
}

/** Seconds of the deck's widest zoom stop, 0 where nothing scrolls. */
export const widest = (deck: DeckProfile): number =>
  scrolls(deck) ? Math.max(...deck.waveform.zoomSeconds) : 0;

function marked(columns: DisplayColumns, mark: number | null): Strip {
  return { columns, markColumn: mark === null ? null : columnAt(columns, mark) };
}

/** Index of the column that `time` falls into, held within the picture. */
export function columnAt({ startTime, secondsPerColumn, count }: DisplayColumns, time: number): number {
  const column = Math.floor((time - startTime) / secondsPerColumn + COLUMN_SLACK);
  return Math.min(Math.max(0, column), Math.max(0, count - 1));
}

/**
 * The strip with its clock taken off, so that neither its place in the track nor the track's length can tell which
 * track it is. A scrolling strip starts at 0; a whole track is one unit long.
 */
export function withoutClock({ columns, markColumn }: Strip, whole: boolean): Strip {
  const { startTime, secondsPerColumn, count } = columns;
  const scale = whole ? 1 / (count * secondsPerColumn || 1) : 1;
  return {
    markColumn,
    columns: {
      ...columns,
      startTime: 0,
      secondsPerColumn: whole ? 1 / Math.max(1, count) : secondsPerColumn,
      gridLines: columns.gridLines.map((line) => ({ ...line, time: (line.time - startTime) * scale })),
    },
  };
}

/** Whether two pictures show the same, wherever they lie in time. */
export function looksLike(a: Strip, b: Strip): boolean {
  const [x, y] = [a.columns, b.columns];
  return (
    x.count === y.count &&
    x.heights.length === y.heights.length &&
    x.heights.every((layer, i) => layer.every((height, column) => height === y.heights[i][column])) &&
    x.colours.every((colour, column) => colour === y.colours[column])
  );
}
