/** Moves that need a feature of the deck: whether a profile has it, by the move's own kind. One table. */
import { mainTempo } from '../../grid/grid.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import { reachableLengths } from '../../survival/rules/loops.ts';
import type { Remedy } from '../../survival/verdict.ts';
import type { MoveKind, PlannedMove } from '../types.ts';
import { type BoothDecks, linkedDecks } from './decks.ts';
import type { TrackCheck } from './track-check.ts';

/** A move that a deck cannot do, or (`weakened`) only in a roundabout way. */
export interface MoveFault {
  key: MoveFaultKey;
  outcome: 'lost' | 'weakened';
  params: Record<string, number | string>;
  remedies: Remedy[];
}

export type MoveFaultKey =
  | 'cue-gone'
  | 'loop-gone'
  | 'no-set-loop'
  | 'no-loop-length'
  | 'no-grid-for-loop'
  | 'no-beat-jump'
  | 'no-jump-length'
  | 'no-grid-for-jump'
  | 'jump-in-parts'
  | 'jump-on-screen'
  | 'no-follow'
  | 'not-linked'
  | 'no-grid-to-follow'
  | 'no-cues-to-set'
  | 'few-cues-to-set'
  | 'cues-overwritten'
  | 'no-slip'
  | 'no-slip-reverse'
  | 'no-copy'
  | 'no-strip'
  | 'no-listen-ahead'
  | 'tempo-range';

export interface MovePlace {
  check: TrackCheck;
  profile: DeckProfile;
  booth: BoothDecks;
}

/** Presses in a row that a person can be asked to make for one jump. Estimate. */
export const MOST_JUMPS = 8;
/** Two lengths nearer than this, as a ratio, are the same. */
const SAME_LENGTH = 0.003;

const fault = (
  key: MoveFaultKey,
  params: MoveFault['params'] = {},
  remedies: Remedy[] = [],
  outcome: MoveFault['outcome'] = 'lost',
): MoveFault => ({ key, outcome, params, remedies });
const weak = (key: MoveFaultKey, params: MoveFault['params'] = {}): MoveFault =>
  fault(key, params, [], 'weakened');

type Judge<K extends MoveKind> = (
  move: Extract<PlannedMove, { kind: K }>,
  place: MovePlace,
) => MoveFault | null;
const feature =
  (has: (profile: DeckProfile) => boolean, key: MoveFaultKey) =>
  (_: unknown, { profile }: MovePlace): MoveFault | null =>
    has(profile) ? null : fault(key);

const stored =
  (markerKind: 'cue' | 'loop', key: MoveFaultKey) =>
  ({ markerId }: { markerId: string }, { check }: MovePlace): MoveFault | null =>
    check.track.markers.some(({ id, kind }) => id === markerId && kind === markerKind) ? null : fault(key);

const hasGrid = ({ track }: TrackCheck) => track.grid.segments.length > 0;

/** That a marker lives on the deck is told by its verdict, so `fire-cue` and `run-loop` ask only whether it exists. */
const JUDGES: { [K in MoveKind]: Judge<K> } = {
  'fire-cue': stored('cue', 'cue-gone'),
  'run-loop': stored('loop', 'loop-gone'),
  'make-loop': ({ beats }, { check, profile }) => {
    if (profile.loops.method === 'none') return fault('no-set-loop', { beats });
    const bpm = mainTempo(check.track.grid);
    if (!bpm) return fault('no-grid-for-loop', { beats });
    const away = (other: number) => Math.abs(Math.log(other / beats));
    const lengths = reachableLengths(profile, 60 / bpm).map((length) => length.beats);
    const nearest = lengths.reduce((a, b) => (away(b) < away(a) ? b : a), Infinity);
    return away(nearest) < SAME_LENGTH ? null : fault('no-loop-length', { beats, nearest });
  },
  'jump-beats': ({ beats }, { check, profile }) => {
    const { where, lengths } = profile.beatJump;
    const size = Math.abs(beats);
    if (where === 'none' || !lengths.length) return fault('no-beat-jump', { beats: size });
    if (!hasGrid(check)) return fault('no-grid-for-jump', { beats: size });
    const times = fewestJumps(size, lengths);
    if (times === null) return fault('no-jump-length', { beats: size, longest: lengths[lengths.length - 1] });
    if (times > 1) return weak('jump-in-parts', { beats: size, times });
    return where === 'screen' ? weak('jump-on-screen', { beats: size }) : null;
  },
  'follow-tempo': (_, { check, profile, booth }) => {
    if (!profile.playback.sync) return fault('no-follow');
    if (linkedDecks(booth) < 2 || !linkedHere(booth, profile)) return fault('not-linked');
    return hasGrid(check) ? null : fault('no-grid-to-follow');
  },
  'set-cues': ({ count }, { check, profile }) => {
    const { slots } = profile.hotCues;
    if (!slots) return fault('no-cues-to-set', { wanted: count });
    if (count > slots) return fault('few-cues-to-set', { wanted: count, slots });
    const stored = check.track.markers.filter(
      (m) => m.kind === 'cue' && m.slot !== null && m.slot <= slots,
    ).length;
    const free = slots - stored;
    return count > free ? weak('cues-overwritten', { wanted: count, free, slots }) : null;
  },
  slip: feature(({ playback }) => playback.slip, 'no-slip'),
  'slip-reverse': feature(({ playback }) => playback.slipReverse, 'no-slip-reverse'),
  'copy-deck': (_, { profile, booth }) => {
    if (!profile.playback.instantCopy) return fault('no-copy');
    return linkedDecks(booth) < 2 || !linkedHere(booth, profile) ? fault('not-linked') : null;
  },
  'sweep-strip': feature(({ playback }) => playback.touchStrip, 'no-strip'),
  'listen-ahead': feature(({ overview }) => overview.touchListen, 'no-listen-ahead'),
  'shift-tempo': ({ percent }, { profile }) => {
    const most = profile.playback.tempoRangesPercent.at(-1) ?? 0;
    const needed = Math.abs(percent);
    return needed > most ? fault('tempo-range', { percent: needed, most }) : null;
  },
  // Key lock is in no profile.
  'hold-key': () => null,
};

const linkedHere = ({ decks }: BoothDecks, profile: DeckProfile): boolean =>
  decks.every((deck) => deck.profile !== profile || deck.linked);

/** Fewest jumps in one direction that add up to `size` beats, at most MOST_JUMPS; null: none do. */
export function fewestJumps(size: number, lengths: readonly number[]): number | null {
  // Longest first is fewest only where each length divides the next; so the sums are tried step by step.
  let sums = new Set([0]);
  for (let times = 1; times <= MOST_JUMPS; times++) {
    const next = new Set<number>();
    for (const sum of sums) for (const length of lengths) if (sum + length <= size) next.add(sum + length);
    if (next.has(size)) return times;
    sums = next;
  }
  return null;
}

/** Whether any deck's doing can be told from its profile. */
export const canBeTold = ({ kind }: PlannedMove): boolean => kind !== 'hold-key';

/** What stands in the way of a planned move on a deck, or null. Whether the file loads there is asked elsewhere. */
export function moveFault(move: PlannedMove, place: MovePlace): MoveFault | null {
  return (JUDGES[move.kind] as Judge<MoveKind>)(move, place);
}
