/** By which presses a musical intent can be reached on a deck, when it is, and why it is not. */
import type { DeckProfile } from '../../profile/schema.ts';
import type { Effect } from '../effect.ts';
import { beatsIn } from '../loops.ts';
import { forwardRate, rateOf } from '../movement.ts';
import { OUT_OF_TIME } from '../practice.ts';
import { hasPress, type Press, pressesOf, type PressKind } from '../press.ts';
import type { DeckState } from '../state.ts';
import type { Intent } from './intents.ts';

/** Two speeds nearer than this are the same: half of the coarsest step of a fader below its widest range. */
const SAME_RATE = 0.0003;

export type ImpossibleKey =
  | 'too-few-slots'
  | 'cue-not-stored'
  | 'no-loops'
  | 'length-out-of-reach'
  | 'no-loop-to-change'
  | 'no-beat-jump'
  | 'jump-out-of-reach'
  | 'no-slip-reverse'
  | 'no-touch-seek'
  | 'tempo-out-of-range'
  | 'not-from-here';

export const impossibleWords: Record<ImpossibleKey, string> = {
  'too-few-slots': 'This deck has fewer slots, and the cue is in none of them.',
  'cue-not-stored': 'The cue is on none of this deck’s buttons.',
  'no-loops': 'This deck makes no loops.',
  'length-out-of-reach': 'This deck does not come to that length from here.',
  'no-loop-to-change': 'There is no loop on this deck at that moment.',
  'no-beat-jump': 'This deck has no beat jump.',
  'jump-out-of-reach': 'The beat jumps of this deck do not add up to that.',
  'no-slip-reverse': 'This deck cannot play backwards and come back.',
  'no-touch-seek': 'This deck has nothing to touch for seeking.',
  'tempo-out-of-range': 'The tempo fader of this deck does not go that far.',
  'not-from-here': 'This deck cannot do that from the state it is in.',
};

const QUANTISE: PressKind[] = ['quantise', 'quantise-step', 'menu', 'menu-turn', 'menu-choose'];
const MEANS: Record<Intent['kind'], PressKind[]> = {
  start: ['play'],
  stop: ['play', 'cue'],
  'jump-to-cue': ['hot-cue', 'bank', 'recall', ...QUANTISE],
  'set-cue': ['hot-cue', 'bank', ...QUANTISE],
  loop: ['loop-length', 'loop-hold', 'loop-halve', 'loop-double', 'loop-hold-release', ...QUANTISE],
  'leave-loop': ['loop-exit'],
  'reenter-loop': ['loop-reenter', ...QUANTISE],
  'jump-by': ['beat-jump', 'jump-longer', 'jump-shorter', 'jump-page', 'screen-jump'],
  reverse: ['slip-reverse'],
  search: ['search'],
  seek: ['strip-touch', 'overview-touch'],
  tempo: ['tempo-range'],
  follow: ['sync', 'tempo-range'],
  bend: ['bend'],
  load: ['load'],
  drive: ['plug-drive'],
};

/** What of the effects is heard. */
export const SOUNDING: readonly Effect['kind'][] = [
  'start',
  'stop',
  'jump',
  'planned',
  'rate',
  'loop-set',
  'loop-changed',
  'loop-left',
  'silence',
];

/** Presses worth trying for an intent on that deck, in that state. */
export function candidates(intent: Intent, deck: DeckState, profile: DeckProfile): Press[] {
  const listed = pressesOf(profile).filter(({ kind }) => MEANS[intent.kind].includes(kind));
  return [...listed, ...measured(intent, deck)].filter((press) => hasPress(press, profile));
}

/** Presses whose measure the intent gives: where the fader must stand, where the strip must be touched. */
function measured(intent: Intent, { tempo, track }: DeckState): Press[] {
  switch (intent.kind) {
    case 'tempo':
    case 'follow': {
      const fader = tempo.range ? ((intent.rate - 1) * 100) / tempo.range : NaN;
      return Number.isFinite(fader) ? [{ kind: 'tempo', fader: Math.min(1, Math.max(-1, fader)) }] : [];
    }
    case 'seek': {
      const share = track ? intent.position / track.duration : 0;
      return [
        { kind: 'strip-touch', at: share },
        { kind: 'overview-touch', at: share },
      ];
    }
    case 'load':
      return [{ kind: 'load', track: intent.track }];
    case 'bend':
      return [{ kind: 'bend', amount: intent.amount }];
    default:
      return [];
  }
}

/** True when effects would be heard that nobody intends. */
export function spoils(intent: Intent, effects: readonly Effect[]): boolean {
  return effects.some((e) => {
    switch (e.kind) {
      case 'stale-cue':
      case 'silence':
        return true;
      case 'cue-set':
        return intent.kind !== 'set-cue' && intent.kind !== 'stop';
      case 'jump':
      case 'planned':
        if (intent.kind === 'jump-to-cue') return e.cause !== 'hot-cue' || !near(e.to, intent.position);
        return e.cause === 'hot-cue';
      default:
        return false;
    }
  });
}

/** Places that differ by less than half of a slow beat mean the same cue, wherever quantise has moved it. */
const near = (a: number, b: number): boolean => Math.abs(a - b) < 0.5;

/** True when the deck now does what was intended. @param jumped beats that have been jumped for it */
export function meets(intent: Intent, deck: DeckState, effects: readonly Effect[], jumped: number): boolean {
  const has = (kind: Effect['kind']) => effects.some((e) => e.kind === kind);
  switch (intent.kind) {
    case 'start':
      return has('start');
    case 'stop':
      return has('stop');
    case 'jump-to-cue':
      return has('jump') || has('planned');
    case 'set-cue':
      return has('cue-set');
    case 'loop': {
      if (!deck.loop?.active) return false;
      const length = deck.loop.beats ?? beatsIn(deck, deck.loop);
      if (intent.beats === null || length === null) {
        return Math.abs(deck.loop.end - deck.loop.start - intent.seconds) < OUT_OF_TIME;
      }
      return Math.abs(length - intent.beats) < intent.beats * 1e-3;
    }
    case 'leave-loop':
      return has('loop-left');
    case 'reenter-loop':
      return has('loop-set') || has('planned');
    case 'jump-by':
      return Math.abs(jumped - intent.beats) < 1e-3;
    case 'reverse':
      return deck.reverse;
    case 'search':
      return deck.searching !== 0;
    case 'seek':
      return has('jump');
    case 'tempo':
      return Math.abs(Math.abs(rateOf(deck) || forwardRate(deck)) - Math.abs(intent.rate)) < SAME_RATE;
    case 'follow':
      return Math.abs(forwardRate(deck) - intent.rate) < SAME_RATE;
    case 'bend':
      return deck.bend === intent.amount;
    case 'load':
      return has('load');
    case 'drive':
      return deck.drive === 'in';
  }
}

/** Why an intent was not reached: from the facts, else from the state. */
export function reasonFor(intent: Intent, deck: DeckState, profile: DeckProfile): ImpossibleKey {
  switch (intent.kind) {
    case 'jump-to-cue': {
      const slot = deck.track?.cues.find(({ time }) => near(time, intent.position))?.slot;
      return slot && slot > profile.hotCues.slots ? 'too-few-slots' : 'cue-not-stored';
    }
    case 'set-cue':
      return 'too-few-slots';
    case 'loop':
      return profile.loops.method === 'none' ? 'no-loops' : 'length-out-of-reach';
    case 'leave-loop':
    case 'reenter-loop':
      return profile.loops.method === 'none' ? 'no-loops' : 'no-loop-to-change';
    case 'jump-by':
      return profile.beatJump.where === 'none' ? 'no-beat-jump' : 'jump-out-of-reach';
    case 'reverse':
      return profile.playback.slipReverse ? 'not-from-here' : 'no-slip-reverse';
    case 'seek':
      return profile.playback.touchStrip || profile.screen.touch ? 'not-from-here' : 'no-touch-seek';
    case 'tempo':
    case 'follow':
      return 'tempo-out-of-range';
    default:
      return 'not-from-here';
  }
}
