/** What the readiness check says: the types, and how much each kind of finding hurts. */
import type { Remedy } from '../../survival/verdict.ts';
import type { ReasonKey } from '../../survival/words.ts';
import type { PlannedMove } from '../types.ts';
import type { MoveFaultKey } from './features.ts';

/** What the app can do about a finding beside the remedies of single markers. `key`: into the words. */
export type GigRemedy =
  | Remedy
  | { action: 'open-track' }
  | { action: 'add-file' }
  | { action: 'check-grid' }
  | { action: 'mark-sections' }
  | { action: 'plan-slots' }
  | { action: 'rename' }
  | { action: 'drop-move' }
  | { action: 'answer-questions' }
  | { action: 'gig-advice'; key: GigAdviceKey };

export type GigAdviceKey =
  | 'tell-by-place'
  | 'load-early'
  | 'plan-without'
  | 'replace-file'
  | 'play-by-ear'
  | 'widen-plan'
  | 'practise'
  | 'ask-linked';

export type GigFindingKey =
  | 'deck-unknown'
  | 'not-in-library'
  | 'file-partial'
  | 'grid-none'
  | 'grid-unsure'
  | 'changes-unseen'
  | 'nothing-marked'
  | 'mix-in-unreadable'
  | 'mix-out-unreadable'
  | 'slow-to-load'
  | 'names-alike'
  | 'names-cut'
  | 'name-characters';

/** A rule of survival, a fault of a planned move, or one of the check's own. */
export type FindingKey = ReasonKey | MoveFaultKey | GigFindingKey;

/** `stops`: no music; `breaks`: a plan fails; `hampers`: harder than at home; `annoys`: know it beforehand. */
export type Severity = 'stops' | 'breaks' | 'hampers' | 'annoys';

/** One marker, section change or move that the finding is about. */
export interface FindingDetail {
  entryId: string;
  /** Marker, or null. */
  markerId: string | null;
  /** s, or null where it has no place in the track. */
  time: number | null;
  /** The planned move that cannot be done, or null: it is not about one. */
  move: PlannedMove | null;
  /** What it is called: the marker's name, the section, the title. May be empty. */
  name: string;
  /** As its reason has them, on the worst deck. */
  params: Record<string, number | string>;
  remedies: GigRemedy[];
}

export interface Finding {
  /** Unique within one check, and the same in the next check of the same set. */
  id: string;
  key: FindingKey;
  severity: Severity;
  /** 0..100, see `weightOf`; the findings are sorted by it. */
  weight: number;
  /** In the order of the set. */
  entryIds: string[];
  /** Decks of the booth on which it is so, poorest first. */
  profileIds: string[];
  /** What the sentence needs: those of the first detail, and `count` (of the details). */
  params: Record<string, number | string>;
  details: FindingDetail[];
  /** For all of it at once, best first. */
  remedies: GigRemedy[];
}

/**
 * How much a finding hurts, 0..100, at the moment when it happens: 100 no music comes out; from 60 a part of the plan
 * cannot be done; from 30 it can be done, but by ear or in a roundabout way; below that one should know it. All of
 * them are estimates. A marker that dies counts by its importance, and more where a move was planned with it.
 */
const WEIGHTS: Record<Exclude<FindingKey, ReasonKey>, number> = {
  'deck-unknown': 98,
  'not-in-library': 94,
  'file-partial': 90,
  'cue-gone': 78,
  'loop-gone': 74,
  'no-follow': 72,
  'not-linked': 71,
  'no-cues-to-set': 68,
  'no-set-loop': 66,
  'few-cues-to-set': 64,
  'no-beat-jump': 64,
  'no-loop-length': 63,
  'tempo-range': 63,
  'no-slip': 62,
  'no-slip-reverse': 61,
  'no-copy': 61,
  'no-strip': 61,
  'no-jump-length': 60,
  'no-grid-to-follow': 60,
  'no-grid-for-loop': 60,
  'no-grid-for-jump': 60,
  'grid-none': 55,
  'grid-unsure': 50,
  'mix-in-unreadable': 48,
  'mix-out-unreadable': 46,
  'nothing-marked': 40,
  'changes-unseen': 36,
  'no-listen-ahead': 34,
  'names-alike': 32,
  'cues-overwritten': 31,
  'name-characters': 24,
  'slow-to-load': 22,
  'jump-in-parts': 18,
  'jump-on-screen': 16,
  'names-cut': 8,
};

/** A file that does not load. */
const FILE_WEIGHT = 100;
/** A marker that is lost: by kind, and for each step of importance above the lowest. */
const LOST_WEIGHT = { cue: 30, loop: 28, mark: 20 } as const;
const PER_IMPORTANCE = 14;
/** Added where a move of the set was planned with the marker. */
const PLANNED_WEIGHT = 15;
/** A marker that is only weakened, and for each step of importance. */
const WEAKENED_WEIGHT = 6;
const WEAKENED_PER_IMPORTANCE = 5;
/** Twenty tracks with a fault are a little worse than one with it, never as bad as the next kind of fault. */
export const MOST_FOR_NUMBER = 0.9;

export function weightOf(key: Exclude<FindingKey, ReasonKey>): number {
  return WEIGHTS[key];
}

/**
 * Weight of a reason of survival.
 * @param importance 1..3 of the most important marker that it hits
 */
export function reasonWeight(
  key: string,
  outcome: 'lost' | 'weakened',
  kind: keyof typeof LOST_WEIGHT,
  importance: number,
  planned: boolean,
): number {
  if (key.startsWith('file-')) return FILE_WEIGHT;
  const steps = importance - 1;
  if (outcome === 'weakened') return WEAKENED_WEIGHT + WEAKENED_PER_IMPORTANCE * steps;
  return LOST_WEIGHT[kind] + PER_IMPORTANCE * steps + (planned ? PLANNED_WEIGHT : 0);
}

export function severityOf(weight: number): Severity {
  return weight >= 90 ? 'stops' : weight >= 60 ? 'breaks' : weight >= 30 ? 'hampers' : 'annoys';
}
