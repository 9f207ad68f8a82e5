/**
 * The display model: a track and a deck's profile in, what that deck's display shows out. Pure: the same
 * arguments give equal columns, and what the profile does not show has no influence on them.
 */
import type { TrackAnalysis } from '../analysis.ts';
import type { DeckProfile, WaveformKind } from '../profile/schema.ts';
import type { DisplayColumns, DisplayView } from './columns.ts';
import { deckGridLines } from './lines.ts';
import { coloursOf } from './resolution.ts';
import type { Resolution } from './resolution.ts';
import { makeStretch, readStretch, type Stretch } from './stretch.ts';

/** Slack for times that are a multiple of a column but for the rounding of floats, in columns. */
const COLUMN_SLACK = 1e-6;

/** The kind that the deck shows when asked for `kind`: that one if it has it, else its best; null if none. */
export function kindOn(profile: DeckProfile, kind: WaveformKind): WaveformKind | null {
  const { kinds, scrolling } = profile.waveform;
  if (!scrolling) return null;
  return kinds.includes(kind) ? kind : (kinds[0] ?? null);
}

/** Seconds that the deck's screen shows at a zoom stop (the nearest stop where there is no such one), or null. */
export function visibleSeconds(profile: DeckProfile, zoomStop: number): number | null {
  const { scrolling, zoomSeconds } = profile.waveform;
  if (!scrolling || !zoomSeconds.length) return null;
  return zoomSeconds[Math.min(Math.max(0, Math.round(zoomStop) || 0), zoomSeconds.length - 1)];
}

/** The deck's own columns: they lie on a lattice that starts with the track. */
export interface Lattice {
  secondsPerColumn: number;
  resolution: Resolution;
}

/** @param kind the kind wished for; a deck without it shows its best. @returns null where nothing scrolls */
export function scrollingLattice(profile: DeckProfile, kind: WaveformKind, zoomStop: number): Lattice | null {
  const shown = kindOn(profile, kind);
  const seconds = visibleSeconds(profile, zoomStop);
  if (!shown || !seconds) return null;
  const { heightSteps, colourSteps } = profile.waveform;
  return {
    secondsPerColumn: seconds / profile.screen.columns,
    resolution: { kind: shown, heightSteps, colourSteps: coloursOf(shown, colourSteps) },
  };
}

/**
 * What the deck's scrolling waveform shows of `view`.
 * Columns lie on a lattice that starts with the track, as wide as the deck's own at that zoom stop. Where the
 * view holds more than `view.maxColumns` of them, two, four, … are joined, so that the picture stays the same
 * while it scrolls. Columns outside the track are left out.
 * @param kind the kind wished for; a deck without it shows its best
 * @returns null when the deck has no scrolling waveform
 */
export function scrollingColumns(
  analysis: Pick<TrackAnalysis, 'pyramid' | 'grid' | 'duration'>,
  profile: DeckProfile,
  kind: WaveformKind,
  view: DisplayView,
): DisplayColumns | null {
  const lattice = scrollingLattice(profile, kind, view.zoomStop);
  if (!lattice) return null;
  const { secondsPerColumn: deckColumn, resolution } = lattice;
  const { stretch, width, from, to } = stretchIn(analysis.duration, deckColumn, view);
  const { first, count } = stretch;
  return {
    ...resolution,
    startTime: first * width,
    secondsPerColumn: width,
    count,
    ...readStretch(analysis.pyramid, stretch, resolution),
    gridLines: count ? deckGridLines(analysis.grid, profile, from, to, deckColumn, width) : [],
  };
}

/** Makes ahead, step by step, what `scrollingColumns` of the same arguments then only copies. */
export function* makeScrolling(
  analysis: Pick<TrackAnalysis, 'pyramid' | 'duration'>,
  profile: DeckProfile,
  kind: WaveformKind,
  view: DisplayView,
): Generator<void, void> {
  const lattice = scrollingLattice(profile, kind, view.zoomStop);
  if (!lattice) return;
  const { stretch } = stretchIn(analysis.duration, lattice.secondsPerColumn, view);
  yield* makeStretch(analysis.pyramid, stretch, lattice.resolution);
}

/** The columns of a view: the deck's own, or as many of them joined as it takes. `width`, `from` and `to` in s. */
function stretchIn(duration: number, deckColumn: number, view: DisplayView) {
  const from = Math.max(0, view.startTime);
  const to = Math.min(duration, view.endTime);
  const inView = Math.max(0, (view.endTime - view.startTime) / deckColumn);
  const level = Math.max(0, Math.ceil(Math.log2(inView / Math.max(1, view.maxColumns)) - COLUMN_SLACK));
  const width = deckColumn * 2 ** level;
  const first = Math.floor(from / width + COLUMN_SLACK);
  const end = Math.ceil(to / width - COLUMN_SLACK);
  const count = to > from ? Math.max(0, end - first) : 0;
  const stretch: Stretch = { secondsPerColumn: deckColumn, level, first, count };
  return { stretch, width, from, to };
}

/** The overview's columns of a track of `duration` s; of no width where it has no length. */
export function overviewLattice(duration: number, { overview }: DeckProfile): Lattice {
  const { columns, heightSteps, kind, colourSteps } = overview;
  return {
    secondsPerColumn: duration > 0 ? duration / columns : 0,
    resolution: { kind, heightSteps, colourSteps: coloursOf(kind, colourSteps) },
  };
}

/**
 * The deck's overview of the whole track: always all of it, in the deck's own number of columns.
 * A track of no length gives no columns.
 */
export function overviewColumns(
  analysis: Pick<TrackAnalysis, 'pyramid' | 'duration'>,
  profile: DeckProfile,
): DisplayColumns {
  const { secondsPerColumn, resolution } = overviewLattice(analysis.duration, profile);
  const count = secondsPerColumn ? profile.overview.columns : 0;
  return {
    startTime: 0,
    secondsPerColumn,
    count,
    ...readStretch(analysis.pyramid, { secondsPerColumn, level: 0, first: 0, count }, resolution),
    ...resolution,
    gridLines: [],
  };
}
