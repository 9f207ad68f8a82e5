/** What the rules look up: worked out once for a track and a deck, so that each rule is a few lines. */
import type { TrackAnalysis } from '../analysis.ts';
import { type HotCue, inOrder, type Marker, type StructureMark } from '../markers/marker.ts';
import { tempoAt } from '../grid/grid.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { type Sight, sightOf } from './contrast.ts';

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
  /** What can be seen of the track on the deck. */
  readonly sight: Sight;
}

export function contextFor(
  markers: readonly Marker[],
  analysis: JudgedTrack,
  profile: DeckProfile,
): RuleContext {
  return contextsFor(markers, analysis, [profile])[0];
}

/** One for each of the profiles, in their order; what does not hang on the deck is worked out once for all. */
export function contextsFor(
  markers: readonly Marker[],
  analysis: JudgedTrack,
  profiles: readonly DeckProfile[],
): RuleContext[] {
  const ordered = inOrder(markers);
  const cues = ordered.filter((m) => m.kind === 'cue');
  const marksByRank = ordered
    .filter((m) => m.kind === 'mark')
    .sort((a, b) => b.importance - a.importance || a.time - b.time);
  return profiles.map((profile) => new DeckContext(analysis, profile, ordered, cues, marksByRank));
}

const NONE: readonly never[] = [];
const NO_MERGES: ReadonlyMap<string, StructureMark> = new Map();

class DeckContext implements RuleContext {
  readonly analysis: JudgedTrack;
  readonly profile: DeckProfile;
  readonly markers: readonly Marker[];
  readonly reachable: readonly HotCue[];
  readonly marksByRank: readonly StructureMark[];
  readonly shownMarks: ReadonlySet<string>;
  readonly overviewColumn: number;
  readonly onOverview: readonly (HotCue | StructureMark)[];
  readonly mergedMarks: ReadonlyMap<string, StructureMark>;

  constructor(
    analysis: JudgedTrack,
    profile: DeckProfile,
    ordered: readonly Marker[],
    cues: readonly HotCue[],
    marksByRank: readonly StructureMark[],
  ) {
    const { slots } = profile.hotCues;
    const { shown, limit } = profile.marks;
    const marks = shown ? marksByRank.slice(0, limit) : NONE;
    const scrolls = profile.waveform.scrolling;
    this.analysis = analysis;
    this.profile = profile;
    this.markers = ordered;
    this.reachable = cues.filter(({ slot }) => slot !== null && slot <= slots);
    this.marksByRank = marksByRank;
    this.shownMarks = new Set(marks.map(({ id }) => id));
    this.overviewColumn = analysis.duration / profile.overview.columns;
    this.onOverview = scrolls ? NONE : inOrder([...this.reachable, ...marks]);
    this.mergedMarks = scrolls ? NO_MERGES : mergedOf(marks, this.overviewColumn);
  }

  beatSeconds(time: number): number | null {
    const bpm = tempoAt(this.analysis.grid, time);
    return bpm ? 60 / bpm : null;
  }

  /** Looked up only where it is asked for, since each picture takes time to make. */
  get sight(): Sight {
    return sightOf(this.analysis, this.profile);
  }
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
