/** What a hand drill is made of, and what it says where a deck does not need it or cannot do it. */
import type { DeckProfile } from '../../profile/schema.ts';
import type { HandStep, Press } from '../press.ts';
import type { ListPress } from './list-model.ts';
import type { ListenPress } from './listen-model.ts';

export type DrillPress = Press | ListPress | ListenPress;
export type DrillStep = HandStep | ListPress | ListenPress;

export const DRILLS = [
  'reach-slot',
  'recall-before-drop',
  'shorten-loop',
  'two-loops',
  'find-by-letter',
  'hear-first',
  'drive-pulled',
] as const;
export type DrillId = (typeof DRILLS)[number];

export type RefusalKey =
  | 'too-few-slots'
  | 'slot-on-first-bank'
  | 'cues-come-along'
  | 'no-cues'
  | 'no-loops'
  | 'place-is-kept'
  | 'out-of-reach';

export interface Refusal {
  outcome: 'not-needed' | 'not-possible';
  reason: RefusalKey;
}

export const refusalWords: Record<RefusalKey, string> = {
  'too-few-slots': 'This deck has fewer slots than that.',
  'slot-on-first-bank': 'Every slot up to that one has a button of its own here.',
  'cues-come-along': 'On this deck the cues come with the track.',
  'no-cues': 'This deck has no hot cues.',
  'no-loops': 'This deck makes no loops.',
  'place-is-kept': 'This deck keeps your place when the length changes, so any moment will do.',
  'out-of-reach': 'No sequence of presses on this deck leads there.',
};

export const drillWords: Record<DrillId, string> = {
  'reach-slot': 'Fire the cue in slot 6.',
  'recall-before-drop': 'Load the track’s own cues before the drop.',
  'shorten-loop': 'Make the loop half as long without losing the beat.',
  'two-loops': 'Set a loop of 4 beats, then one of 8.',
  'find-by-letter': 'Find the track in the list and load it.',
  'hear-first': 'Hear the track in your headphones before anybody else does.',
  'drive-pulled': 'The drive has been pulled: get the track back.',
};

/** A drill on one deck: a start, what hands can do, and when the goal is reached. States are plain data. */
export interface Machine<S> {
  start: S;
  /** Presses worth a try; a recorded press need not be among them. */
  presses(state: S): DrillPress[];
  /** Waits worth a try, s. */
  waits(state: S): number[];
  /** s from the drill's start */
  now(state: S): number;
  /** @param time s from the drill's start, not before `now` */
  passTo(state: S, time: number): S;
  press(state: S, press: DrillPress): S;
  done(state: S): boolean;
  /** Something was heard that spoils the drill, or it is too late. */
  failed(state: S): boolean;
  /** How far off the beat it went, or how long it was silent, s; null where the drill measures nothing. */
  error(state: S): number | null;
  key(state: S): string;
  /** Time that the hand needs for it, s. */
  hand(press: DrillPress): number;
  /** Presses after which it is called out of reach. */
  most: number;
}

// A drill hides what its states are; only its own machine reads them.
// eslint-disable-next-line @typescript-eslint/no-explicit-any
export type AnyMachine = Machine<any>;

export type Drill = (profile: DeckProfile) => AnyMachine | Refusal;
