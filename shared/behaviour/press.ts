/** What can happen to a deck: presses of a hand, each a control that a profile has or lacks, and the world's events. */
import type { DeckProfile } from '../profile/schema.ts';
import type { DeckTrack } from './track.ts';

export type Press =
  | { kind: 'play' }
  | { kind: 'cue' }
  | { kind: 'cue-release' }
  /** Button of the current bank, from 1. On an empty slot it sets a cue. */
  | { kind: 'hot-cue'; button: number }
  | { kind: 'hot-cue-release'; button: number }
  | { kind: 'hot-cue-clear'; button: number }
  /** from 1 */
  | { kind: 'bank'; bank: number }
  /** Opens and closes the loading of stored cues onto the buttons. */
  | { kind: 'recall' }
  | { kind: 'quantise' }
  /** To the next finer step, after the finest the coarsest. */
  | { kind: 'quantise-step' }
  | { kind: 'menu' }
  | { kind: 'menu-turn'; by: 1 | -1 }
  | { kind: 'menu-choose' }
  | { kind: 'loop-in' }
  | { kind: 'loop-out' }
  | { kind: 'loop-length'; beats: number }
  /** One button for all lengths: the longer it is held, the longer the loop. */
  | { kind: 'loop-hold' }
  | { kind: 'loop-hold-release' }
  | { kind: 'loop-halve' }
  | { kind: 'loop-double' }
  | { kind: 'loop-exit' }
  | { kind: 'loop-reenter' }
  | { kind: 'beat-jump'; direction: 1 | -1 }
  | { kind: 'jump-longer' }
  | { kind: 'jump-shorter' }
  /** Opens or closes the page of the screen that holds the beat jumps. */
  | { kind: 'jump-page' }
  /** Beats, negative: back. */
  | { kind: 'screen-jump'; beats: number }
  | { kind: 'slip' }
  | { kind: 'slip-reverse' }
  | { kind: 'slip-reverse-release' }
  | { kind: 'search'; direction: 1 | -1 }
  | { kind: 'search-release' }
  /** Share of the track, 0..1. */
  | { kind: 'strip-touch'; at: number }
  | { kind: 'overview-touch'; at: number }
  /** Listening ahead in the headphones; the deck plays on. */
  | { kind: 'overview-listen'; at: number }
  /** −1..1 of the range */
  | { kind: 'tempo'; fader: number }
  | { kind: 'tempo-range' }
  /** −1..1 */
  | { kind: 'bend'; amount: number }
  | { kind: 'bend-release' }
  | { kind: 'sync' }
  | { kind: 'load'; track: DeckTrack }
  | { kind: 'plug-drive' };

export type PressKind = Press['kind'];

export type WorldEvent =
  /** The time is now this, s on the caller's clock. Absolute, so that no sum of small ticks can drift. */
  | { kind: 'tick'; time: number }
  | { kind: 'drive-pulled' }
  /** Tempo of the deck that leads, and one moment of it: beat number `beat` at `time`. */
  | { kind: 'master'; bpm: number; time: number; beat: number };

export type DeckEvent = Press | WorldEvent;

const WORLD = ['tick', 'drive-pulled', 'master'];
export const isPress = (event: DeckEvent): event is Press => !WORLD.includes(event.kind);

const RELEASES: readonly PressKind[] = [
  'cue-release',
  'hot-cue-release',
  'loop-hold-release',
  'slip-reverse-release',
  'search-release',
  'bend-release',
];
/** Nothing is pressed for so long, s; what is held stays held. */
export interface Wait {
  kind: 'wait';
  seconds: number;
}
/** What hands do, waiting included. */
export type HandStep = Press | Wait;

/** Letting go is no press: it costs nothing and is not counted. */
export const isRelease = ({ kind }: { kind: string }): boolean => RELEASES.includes(kind as PressKind);

const whole = (n: number, most: number) => Number.isInteger(n) && n >= 1 && n <= most;
const within = (n: number, low: number, high: number) => n >= low && n <= high;
const always = () => true;
const loops = ({ loops }: DeckProfile) => loops.method !== 'none';
/** Buttons that reach a slot on some bank: what none can be stored on is not there to be pressed. */
const cueButtons = ({ hotCues }: DeckProfile) => Math.min(hotCues.buttons, hotCues.slots);
const hotCue = ({ button }: { button: number }, profile: DeckProfile) => whole(button, cueButtons(profile));
const menu = ({ quantise }: DeckProfile) => quantise.setIn === 'menu';
const held = ({ loops }: DeckProfile) => loops.method === 'short-and-long-press';
const factors = (p: DeckProfile) => loops(p) && p.loops.method !== 'halving-press';
const jumps = ({ beatJump }: DeckProfile) => beatJump.where === 'buttons';
const jumpLengths = (p: DeckProfile) => jumps(p) && p.beatJump.lengths.length > 1;
const onScreen = ({ beatJump }: DeckProfile) => beatJump.where === 'screen';

type Test<K extends PressKind> = (press: Extract<Press, { kind: K }>, profile: DeckProfile) => boolean;
const on =
  (test: (profile: DeckProfile) => boolean) =>
  (_: unknown, profile: DeckProfile): boolean =>
    test(profile);

/** For each control, whether a profile has it. Key lock is in no profile, so no deck has it. */
const HAS: { [K in PressKind]: Test<K> } = {
  play: always,
  cue: always,
  'cue-release': always,
  'hot-cue': hotCue,
  'hot-cue-release': hotCue,
  'hot-cue-clear': hotCue,
  bank: ({ bank }, p) => p.hotCues.slots > 0 && p.hotCues.banks > 1 && whole(bank, p.hotCues.banks),
  recall: on((p) => p.hotCues.slots > 0 && p.hotCues.recall === 'by-hand'),
  quantise: on(({ quantise: q }) => q.setIn === 'button' && q.steps.length > 0),
  'quantise-step': on(({ quantise: q }) => q.setIn === 'button' && q.steps.length > 1),
  menu: on(menu),
  'menu-turn': ({ by }, p) => menu(p) && Math.abs(by) === 1,
  'menu-choose': on(menu),
  'loop-in': on(loops),
  'loop-out': on(loops),
  'loop-length': ({ beats }, p) => loops(p) && !held(p) && p.loops.direct.includes(beats),
  'loop-hold': on(held),
  'loop-hold-release': on(held),
  'loop-halve': on(factors),
  'loop-double': on(factors),
  'loop-exit': on(loops),
  'loop-reenter': on(loops),
  'beat-jump': ({ direction }, p) => jumps(p) && Math.abs(direction) === 1,
  'jump-longer': on(jumpLengths),
  'jump-shorter': on(jumpLengths),
  'jump-page': on(onScreen),
  'screen-jump': ({ beats }, p) => onScreen(p) && p.beatJump.lengths.includes(Math.abs(beats)),
  slip: on(({ playback }) => playback.slip),
  'slip-reverse': on(({ playback }) => playback.slipReverse),
  'slip-reverse-release': on(({ playback }) => playback.slipReverse),
  search: ({ direction }) => Math.abs(direction) === 1,
  'search-release': always,
  'strip-touch': ({ at }, p) => p.playback.touchStrip && within(at, 0, 1),
  'overview-touch': ({ at }, p) => p.screen.touch && within(at, 0, 1),
  'overview-listen': ({ at }, p) => p.overview.touchListen && within(at, 0, 1),
  tempo: ({ fader }, p) => p.playback.tempoRangesPercent.length > 0 && within(fader, -1, 1),
  'tempo-range': on(({ playback }) => playback.tempoRangesPercent.length > 1),
  bend: ({ amount }) => within(amount, -1, 1),
  'bend-release': always,
  sync: on(({ playback }) => playback.sync),
  load: always,
  'plug-drive': always,
};

/** True when the deck has the control and the press is one that it can give. */
export function hasPress(press: Press, profile: DeckProfile): boolean {
  const test = HAS[press.kind] as ((press: Press, profile: DeckProfile) => boolean) | undefined;
  return test?.(press, profile) ?? false;
}

const upTo = (n: number) => Array.from({ length: n }, (_, i) => i + 1);
const BOTH = [1, -1] as const;
const PLAIN = Object.keys(HAS) as PressKind[];
/** A control with a scale stands in the list at its ends and its middle. */
const SCALE = [-1, 0, 1];
const SHARE = [0, 0.5, 1];

/**
 * Every press that the deck has, each button and choice once, a fader or strip at its ends and its middle. Loading
 * needs a track and is left out.
 */
export function pressesOf(profile: DeckProfile): Press[] {
  const buttons = upTo(cueButtons(profile));
  const lengths = profile.beatJump.lengths;
  const all = PLAIN.flatMap((kind): Press[] => {
    switch (kind) {
      case 'hot-cue':
      case 'hot-cue-release':
      case 'hot-cue-clear':
        return buttons.map((button) => ({ kind, button }));
      case 'bank':
        return upTo(profile.hotCues.banks).map((bank) => ({ kind, bank }));
      case 'menu-turn':
        return BOTH.map((by) => ({ kind, by }));
      case 'loop-length':
        return profile.loops.direct.map((beats) => ({ kind, beats }));
      case 'beat-jump':
      case 'search':
        return BOTH.map((direction) => ({ kind, direction }));
      case 'screen-jump':
        return lengths.flatMap((beats) => BOTH.map((sign) => ({ kind, beats: beats * sign })));
      case 'strip-touch':
      case 'overview-touch':
      case 'overview-listen':
        return SHARE.map((at) => ({ kind, at }));
      case 'tempo':
        return SCALE.map((fader) => ({ kind, fader }));
      case 'bend':
        return SCALE.map((amount) => ({ kind, amount }));
      case 'load':
        return [];
      default:
        return [{ kind } as Press];
    }
  });
  return all.filter((press) => hasPress(press, profile));
}
