/** What the rules look up: worked out once for a track and a deck, so that each rule is a few lines. */
import type { TrackAnalysis } from '../analysis.ts';
import { cuesOf, type HotCue, inOrder, type Marker, type StructureMark } from '../markers/marker.ts';
import { tempoAt } from '../grid/grid.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { type Contrast, contrastsOf } from './contrast.ts';

/** As much of an analysis as the rules need. */
export type JudgedTrack = Pick<TrackAnalysis, 'pyramid' | 'grid' | 'duration' | 'source' | 'sections'>;

export interface RuleContext {
  analysis: JudgedTrack;
  profile: DeckProfile;
  /** All markers of the track, in order of time. */
  markers: readonly Marker[];
  /** Cues whose slot the deck has, in order of time. */
  reachable: readonly HotCue[];
  /** Marks, those that the deck shows first: by importance, then time. */
  marksByRank: readonly StructureMark[];
  /** Ids of the marks that the deck shows. */
  shownMarks: ReadonlySet<string>;
  /** Width of one overview column, s. */
  overviewColumn: number;
  /** What is drawn on the overview of a deck where nothing scrolls, in order of time; else empty. */
  onOverview: readonly (HotCue | StructureMark)[];
  /** Marks that merge into a more important one on that overview: id → the one that stays. */
  mergedMarks: ReadonlyMap<string, StructureMark>;
  /** Length of one beat at `time`, s, or null without a grid. */
  beatSeconds(time: number): number | null;
  contrast(time: number): Contrast | null;
}

export function contextFor(
  markers: readonly Marker[],
  analysis: JudgedTrack,
  profile: DeckProfile,
): RuleContext {
  const ordered = inOrder(markers);
  const { slots } = profile.hotCues;
  const reachable = cuesOf(ordered).filter((cue) => cue.slot !== null && cue.slot <= slots);
  const marksByRank = ordered
    .filter((m) => m.kind === 'mark')
    .sort((a, b) => b.importance - a.importance || a.time - b.time);
  const shown = profile.marks.shown ? marksByRank.slice(0, profile.marks.limit) : [];
  const shownMarks = new Set(shown.map((mark) => mark.id));
  const overviewColumn = analysis.duration / profile.overview.columns;
  const scrolls = profile.waveform.scrolling;
  return {
    analysis,
    profile,
    markers: ordered,
    reachable,
    marksByRank,
    shownMarks,
    overviewColumn,
    onOverview: scrolls ? [] : (inOrder([...reachable, ...shown]) as (HotCue | StructureMark)[]),
    mergedMarks: scrolls ? new Map() : mergedOf(shown, overviewColumn),
    beatSeconds: (time) => {
      const bpm = tempoAt(analysis.grid, time);
      return bpm ? 60 / bpm : null;
    },
    contrast: contrastsOf(analysis, profile),
  };
}

/** Greedy in order of rank: a mark stays unless one that stays is closer than a column. */
function mergedOf(byRank: readonly StructureMark[], column: number): Map<string, StructureMark> {
  const stay: StructureMark[] = [];
  const merged = new Map<string, StructureMark>();
  for (const mark of byRank) {
    const near = stay.find((other) => Math.abs(other.time - mark.time) < column);
    if (near) merged.set(mark.id, near);
    else stay.push(mark);
  }
  return merged;
}
