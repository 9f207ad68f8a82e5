/**
 * Reading drills: what is asked, what is shown while it is asked, and what is held back until the answer is given.
 * `DrillItem.shown` is the only part that may be drawn before the answer, and `DrillItem.sound` the only one that may
 * be heard. Times in seconds from the first decoded sample.
 */
import type { TrackAnalysis } from '../analysis.ts';
import type { DrillId } from '../behaviour/drills/machine.ts';
import type { DisplayColumns, GridLine } from '../display/columns.ts';
import type { EditedGrid } from '../grid/edit-model.ts';
import type { EditedSection } from '../sections/edit.ts';
import type { ContrastLayer } from '../survival/contrast.ts';
import type { LoadingKind } from './loading/kinds.ts';

/** A random number 0 ≤ x < 1, as from `Math.random`. */
export type Random = () => number;

export const DRILL_KINDS = [
  'find-drop',
  'find-breakdown',
  'find-first-kick',
  'find-mix-out',
  'bars-to-change',
  'heard-strip',
  'same-on-rich',
  'bass-here',
  'phase-compare',
  'read-time',
  'energy-clash',
  'own-size',
] as const;
export type DrillKind = (typeof DRILL_KINDS)[number];

/** Kinds of section that a person learns to read; a section with a letter for a name is `other`. */
export const SECTION_KINDS = ['intro', 'build', 'drop', 'breakdown', 'outro', 'other'] as const;
export type SectionKind = (typeof SECTION_KINDS)[number];

/**
 * The section kind of a key, or `any` where the kind would tell the answer (bass in or out), so that items of all kinds
 * are drawn under one key. Each item still has the kind that it is about.
 */
export type KeySection = SectionKind | 'any';

/** `deck id/drill/section kind`: what is scheduled. */
export type ItemKey = string;

/** A track to ask about: its analysis with the person's corrections already in it. */
export interface DrillTrack {
  id: string;
  title: string;
  analysis: Pick<TrackAnalysis, 'duration' | 'pyramid' | 'silent' | 'partial'> & {
    grid: EditedGrid;
    sections: EditedSection[];
  };
  /** The grid is the person's own, or was confirmed by them: it is taken to be right. */
  gridByHand: boolean;
  /** The same for the sections. */
  sectionsByHand: boolean;
}

/** One picture of a track, with a mark on it where the question needs one. */
export interface Strip {
  columns: DisplayColumns;
  /** Index of the column that the playhead or the mark stands on, or null. */
  markColumn: number | null;
}

/** Two decks' beats as a read-out shows them, already reduced to what it can show. */
export type PhasePicture =
  | {
      readout: 'stacked-waveforms';
      /** Both over the same stretch of screen; each one's `markColumn` is under the common playhead. */
      here: Strip;
      other: Strip;
    }
  | {
      readout: 'bar-beat-ticks';
      /** Width of the read-out in columns; it shows one bar on either side of the playhead. */
      columns: number;
      /** Ticks by column. */
      here: PhaseTick[];
      other: PhaseTick[];
    }
  | {
      readout: 'four-blocks';
      /** The lit block of each deck over one bar, in equal steps of time: a moving read-out, or a row of stills. */
      secondsPerFrame: number;
      frames: { here: number; other: number }[];
    };

export interface PhaseTick {
  column: number;
  kind: GridLine['kind'];
}

/** What the question is about, by key with its numbers; the words stand in words.ts. */
export interface Question {
  key: DrillKind;
  params: Record<string, number>;
}

/** How an answer is given. */
export type Ask =
  /** A time on `shown.main`. */
  | { by: 'pointing' }
  /** A whole number of bars, `from` to `to`. */
  | { by: 'number'; from: number; to: number }
  /** The index of one of `shown.options`. */
  | { by: 'strip'; count: number }
  /** The index of one of these words. */
  | { by: 'word'; words: readonly ChoiceWord[] }
  /** A time typed or dialled in, s, 0 to `to`. */
  | { by: 'time'; to: number };

export type ChoiceWord = 'out' | 'in' | 'behind' | 'together' | 'ahead';

/** All that is drawn while a question is open. */
export interface Shown {
  question: Question;
  ask: Ask;
  /** The picture that is asked about; null where there is none (the question is heard). */
  main: Strip | null;
  /** The strips to choose from; empty where there is no such choice. */
  options: Strip[];
  phase: PhasePicture | null;
  /** Length of the track in whole seconds, where the question needs it (a deck shows it in figures); else null. */
  lengthSeconds: number | null;
  /** The size at which `main` is drawn, where the question is about it: inches on the deck's screen. */
  size?: { width: number; height: number };
}

/** A stretch of a track to play. */
export interface Excerpt {
  trackId: string;
  startTime: number;
  endTime: number;
}

/** What is right, held apart from what is shown. */
export type Answer =
  /** `pointing`, `time` */
  | { type: 'time'; time: number }
  | { type: 'bars'; bars: number }
  /** `strip`, `word` */
  | { type: 'choice'; index: number };

/** What judging and explaining need; never drawn before the answer. */
export interface Held {
  answer: Answer;
  trackId: string;
  /** Where in the track it is about, s: the place of the answer, or of the mark. */
  time: number;
  /** Seconds of a bar and of a beat there. */
  barSeconds: number;
  beatSeconds: number;
  /** Width of one shown column, s: nobody can point finer than this. */
  columnSeconds: number;
  /** Chance 0..1 of being right without looking. */
  chance: number;
  /** Tracks behind `shown.options`, in their order, with the place that each is marked or starts at. */
  options: { trackId: string; time: number }[];
  /** For `phase-compare`: by how many beats the other deck is ahead (below 0: behind). */
  offsetBeats: number | null;
  /** Whether the picture is the deck's overview or its scrolling waveform. */
  view: 'overview' | 'scrolling';
}

export interface DrillItem {
  /** Made of `key` and `seed`, the same whenever the item is made again. */
  id: string;
  key: ItemKey;
  drill: DrillKind;
  section: SectionKind;
  /** The deck that is trained. */
  deckId: string;
  /** The deck whose display is shown: the trained one, or for a baseline the richest. */
  shownDeckId: string;
  baseline: boolean;
  shown: Shown;
  /** null: this item is silent. */
  sound: Excerpt | null;
  held: Held;
}

export interface Response {
  /** By `Ask`: a time in s, a number of bars, or an index. */
  value: number;
  /** s from the moment at which the item was shown. */
  seconds: number;
  /** 0..1, given before the answer is shown. */
  confidence: number;
}

/** 1 again, 2 hard, 3 good, 4 easy: the grades of the scheduler. */
export type Grade = 1 | 2 | 3 | 4;

export interface Score {
  /** Response less answer in bars (below 0: too early); null for choices. */
  errorBars: number | null;
  /** The same in milliseconds. */
  errorMs: number | null;
  /** 0..1, graded: 1 within the tolerance, falling to 0 at the limit. Choices: 0 or 1. */
  correct: number;
  /** Whether it counts as right, for calibration and rates. */
  hit: boolean;
  /** Chance 0..1 of a hit without looking. */
  chance: number;
  responseSeconds: number;
  confidence: number;
  grade: Grade;
}

/** One answer as it is kept: plain data, without pictures. */
export interface AnswerRecord extends Score {
  /** ms since 1970 */
  at: number;
  key: ItemKey;
  drill: DrillKind | LoadingKind;
  section: SectionKind;
  deckId: string;
  shownDeckId: string;
  baseline: boolean;
  /** Of an invented list: no track’s. */
  trackId: string;
}

/** A card of the scheduler as plain data: one per item key. Times in ms since 1970, `stability` in days. */
export interface CardRecord {
  key: ItemKey;
  due: number;
  stability: number;
  difficulty: number;
  scheduledDays: number;
  learningStep: number;
  reps: number;
  lapses: number;
  /** 0 new, 1 learning, 2 review, 3 relearning */
  state: 0 | 1 | 2 | 3;
  lastReview: number | null;
}

export type SessionMinutes = 5 | 10 | 20;
export type SessionMode = 'everyday' | 'tonight';

/** One place in a session. The item is made from it when its turn comes: see `itemFor`. */
export interface PlannedItem {
  key: ItemKey;
  baseline: boolean;
  withSound: boolean;
  /** Seed of the item's random choices: the same seed, tracks and profiles give the same item. */
  seed: number;
  why: 'due' | 'new' | 'early' | 'baseline';
}

/** How a round went, beside the best there is on that deck. */
export interface HandResult {
  deckId: string;
  drill: DrillId;
  done: boolean;
  /** Why it ended without the goal; null where the goal was reached. */
  ended: 'given-up' | 'spoilt' | 'too-late' | null;
  presses: number;
  /** Fewest presses that lead there on this deck. */
  fewest: number;
  /** s on the drill's clock, to the goal or to the last press */
  seconds: number;
  /** Least time with the fewest presses, s. */
  leastSeconds: number;
  /** How far off the beat, or how long it was silent, ms; null where nothing is measured. */
  errorMs: number | null;
  /** The same for the best way. */
  bestErrorMs: number | null;
}

/** One round as it is kept. */
export interface HandRecord extends HandResult {
  /** ms since 1970 */
  at: number;
  key: ItemKey;
  grade: Grade;
}

/** A session as plain data: it can be stored after every answer and taken up again after a reload. */
export interface Session {
  version: 1;
  minutes: SessionMinutes;
  mode: SessionMode;
  startedAt: number;
  /** Ids of the tracks that it asks about, in their order; missing in sessions from before they were kept. */
  tracks?: readonly string[];
  items: PlannedItem[];
  /** Index of the item that is open; `items.length` when all are done. */
  at: number;
  answers: AnswerRecord[];
  /** Rounds of hand drills in it; missing in sessions from before there were any. */
  hands?: HandRecord[];
}

/** A change that an answer to a "confirm first" question asks for. */
export type EditRequest =
  | { trackId: string; action: 'confirm-grid' }
  | { trackId: string; action: 'confirm-sections' }
  /** The tempo is to be counted as `beats` for every `over`. */
  | { trackId: string; action: 'scale-tempo'; beats: number; over: number }
  /** The bars start this many beats later. */
  | { trackId: string; action: 'turn-bars'; beats: number }
  /** The person wants to correct it by hand. */
  | { trackId: string; action: 'open-editor'; what: 'grid' | 'sections'; time: number };

/** Asked in place of a drill about a track that is not sure enough. */
export interface ConfirmItem {
  id: string;
  trackId: string;
  title: string;
  doubt: Doubt;
  /** The stretch on the richest display, with its grid lines: here everything helpful is shown. */
  strip: Strip;
  sound: Excerpt;
  /** Key of the question in words.ts is the doubt; these are its possible answers. */
  choices: { word: ConfirmWord; request: EditRequest | null }[];
}

export type Doubt = 'grid' | 'downbeat' | 'sections';
export type ConfirmWord =
  'right' | 'half' | 'double' | 'beat-later' | 'two-beats-later' | 'beat-earlier' | 'by-hand' | 'leave-out';

/** What an answer is explained with. */
export interface Explanation {
  sentence: string;
  /** 0..1 contrast at the place on the shown display and on the richest; null where it cannot be measured. */
  contrastHere: number | null;
  contrastRich: number | null;
  /** The layer that changes most on the shown display, or null where none is seen to. */
  giveaway: ContrastLayer | null;
  /** Both displays at the answer's place, with the answer marked. */
  here: Strip;
  rich: Strip;
  /** Read-out of the phase on both, for `phase-compare`. */
  phase: { here: PhasePicture | null; rich: PhasePicture | null } | null;
}
