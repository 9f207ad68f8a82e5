/** The deck as a reducer: a press, or the passing of time, in; the next state and its effects out. Pure. */
import type { DeckProfile } from '../profile/schema.ts';
import { finishLoading, load, plugDrive, pullDrive } from './drive.ts';
import type { Effect } from './effect.ts';
import { clearHotCue, pressHotCue, pressRecall, releaseHotCue } from './hot-cues.ts';
import { land, replan } from './jump.ts';
import { double, exit, halve, hold, holdDue, holdOn, pressLength, reenter, setIn, setOut } from './loops.ts';
import { anchored, at, endTime, rateOf } from './movement.ts';
import { type DeckEvent, hasPress, isPress, isRelease, type Press, type PressKind } from './press.ts';
import * as settings from './settings.ts';
import { type DeckState, message, same, type Step } from './state.ts';
import * as transport from './transport.ts';

type Handler<K extends PressKind> = (
  state: DeckState,
  press: Extract<Press, { kind: K }>,
  profile: DeckProfile,
) => Step;

const HANDLERS: { [K in PressKind]: Handler<K> } = {
  play: transport.pressPlay,
  cue: transport.pressCue,
  'cue-release': transport.releaseCue,
  'hot-cue': (s, { button }, p) => pressHotCue(s, button, p),
  'hot-cue-release': releaseHotCue,
  'hot-cue-clear': (s, { button }, p) => clearHotCue(s, button, p),
  bank: (s, { bank }) => settings.pressBank(s, bank),
  recall: (s, _, p) => pressRecall(s, p),
  quantise: settings.pressQuantise,
  'quantise-step': (s, _, p) => settings.pressQuantiseStep(s, p),
  menu: (s, _, p) => settings.pressMenu(s, p),
  'menu-turn': (s, { by }, p) => settings.turnMenu(s, by, p),
  'menu-choose': (s, _, p) => settings.chooseMenu(s, p),
  'loop-in': setIn,
  'loop-out': (s, _, p) => setOut(s, p),
  'loop-length': (s, { beats }, p) => pressLength(s, beats, p),
  'loop-hold': (s, _, p) => hold(s, p),
  'loop-hold-release': (s) => same({ ...s, loopHold: null }),
  'loop-halve': (s, _, p) => halve(s, p),
  'loop-double': (s, _, p) => double(s, p),
  'loop-exit': exit,
  'loop-reenter': reenter,
  'beat-jump': (s, { direction }) => transport.beatJump(s, direction * s.jump.length),
  'jump-longer': (s, _, p) => settings.pressJumpLength(s, 1, p),
  'jump-shorter': (s, _, p) => settings.pressJumpLength(s, -1, p),
  'jump-page': settings.pressJumpPage,
  'screen-jump': (s, { beats }) =>
    s.jump.pageOpen ? transport.beatJump(s, beats) : message(s, 'page-closed'),
  slip: transport.pressSlip,
  'slip-reverse': transport.pressReverse,
  'slip-reverse-release': transport.releaseReverse,
  search: (s, { direction }) => transport.pressSearch(s, direction),
  'search-release': transport.releaseSearch,
  'strip-touch': (s, { at: share }) => transport.touchStrip(s, share),
  'overview-touch': (s, { at: share }, p) => transport.touchOverview(s, share, p),
  'overview-listen': (s, { at: share }, p) => transport.listenAhead(s, share, p),
  tempo: (s, { fader }) => settings.moveFader(s, fader),
  'tempo-range': (s, _, p) => settings.pressTempoRange(s, p),
  bend: (s, { amount }) => settings.bend(s, amount),
  'bend-release': (s) => settings.bend(s, 0),
  sync: transport.pressSync,
  load: (s, { track }, p) => load(s, track, p),
  'plug-drive': (s, _, p) => plugDrive(s, p),
};

/** Presses that work whether a track is there or not. */
const WITHOUT_TRACK: readonly PressKind[] = [
  'bank',
  'quantise',
  'quantise-step',
  'menu',
  'menu-turn',
  'menu-choose',
  'jump-longer',
  'jump-shorter',
  'jump-page',
  'slip',
  'tempo',
  'tempo-range',
  'bend',
  'load',
  'plug-drive',
];
/** Presses that still work while a loop is all that the deck has of its track. */
const IN_SAVING_LOOP: readonly PressKind[] = [...WITHOUT_TRACK, 'play'];

function refusal(state: DeckState, { kind }: Press): Step | null {
  if (isRelease({ kind })) return null;
  if (state.savingLoop && !IN_SAVING_LOOP.includes(kind)) return message(state, 'drive-out');
  if (state.track || WITHOUT_TRACK.includes(kind)) return null;
  return message(state, state.loading ? 'loading' : state.drive === 'pulled' ? 'drive-out' : 'no-track');
}

function press(state: DeckState, given: Press, profile: DeckProfile): Step {
  const handler = HANDLERS[given.kind] as Handler<PressKind>;
  return refusal(state, given) ?? handler(state, given, profile);
}

/** True when a jump that waited is neither waiting nor made, and nobody was told. */
function planForgotten({ pending }: DeckState, { state, effects }: Step): boolean {
  if (!pending || state.pending) return false;
  return !effects.some(
    (e) =>
      e.kind === 'plan-dropped' || (e.kind === 'jump' && e.to === pending.to && e.cause === pending.cause),
  );
}

/** Re-anchors, lets `change` work, and sets right what hangs on the movement: the waiting jump, the told speed. */
function moving(state: DeckState, change: (state: DeckState) => Step): Step {
  const step = transport.andThen(change(anchored(state)), replan);
  if (planForgotten(state, step)) step.effects.unshift({ kind: 'plan-dropped' });
  const rate = rateOf(step.state);
  const told = step.effects.some(({ kind }) => kind === 'start' || kind === 'stop');
  if (rate === rateOf(state) || told) return step;
  return { ...step, effects: [...step.effects, { kind: 'rate', rate, atTime: state.now }] };
}

/** What is due next of itself, and when. */
function nextDue(
  state: DeckState,
  profile: DeckProfile,
): { time: number; happens: (state: DeckState) => Step } {
  const { pending, loading, track } = state;
  const due = [
    {
      time: pending?.atTime ?? Infinity,
      happens: (s: DeckState) => (pending ? land(s, pending) : same(s)),
    },
    { time: loading?.until ?? Infinity, happens: (s: DeckState) => finishLoading(s, profile) },
    { time: holdDue(state, profile), happens: (s: DeckState) => holdOn(s, profile) },
    {
      time: endTime(state),
      happens: (s: DeckState) => transport.stop(at(s, track?.duration ?? 0), 'end'),
    },
  ];
  return due.reduce((first, other) => (other.time < first.time ? other : first));
}

/** Time passes to `time`; what falls due on the way happens at its own exact time. */
function pass(before: DeckState, time: number, profile: DeckProfile): Step {
  let state = before;
  const effects: Effect[] = [];
  for (;;) {
    const due = nextDue(state, profile);
    if (due.time > time || due.time === Infinity) break;
    const step = moving({ ...state, now: Math.max(state.now, due.time) }, due.happens);
    effects.push(...step.effects);
    state = step.state;
  }
  return { state: time > state.now ? { ...state, now: time } : state, effects };
}

/**
 * One deck takes one event.
 * @param state from `newDeck` or an earlier call; it is not changed
 * @param event a press happens at `state.now`: tell the time first by a tick. A tick to an earlier time is ignored.
 * @returns the very same `state` where nothing changes
 */
export function reduce(state: DeckState, event: DeckEvent, profile: DeckProfile): Step {
  if (isPress(event)) {
    if (!hasPress(event, profile)) return same(state, { kind: 'no-such-control', press: event.kind });
    return unchangedOnRefusal(
      state,
      moving(state, (s) => press(s, event, profile)),
    );
  }
  switch (event.kind) {
    case 'tick':
      return Number.isFinite(event.time) ? pass(state, event.time, profile) : same(state);
    case 'drive-pulled':
      return moving(state, (s) => pullDrive(s, profile));
    case 'master': {
      const { bpm, time, beat } = event;
      if (!(bpm > 0)) return same(state);
      return moving(state, (s) => {
        const next = { ...s, master: { bpm, time, beat } };
        return same(s.syncRate === null ? next : { ...next, syncRate: transport.syncedRate(next) });
      });
    }
  }
}

/** A press that only tells why it does nothing leaves not even a new anchor. */
function unchangedOnRefusal(before: DeckState, step: Step): Step {
  const refused =
    step.effects.length > 0 &&
    step.effects.every(({ kind }) => kind === 'message' || kind === 'no-such-control');
  return refused ? { ...step, state: before } : step;
}

/** Takes events in order; convenient for tests, replay and drills. */
export function reduceAll(state: DeckState, events: readonly DeckEvent[], profile: DeckProfile): Step {
  return events.reduce<Step>(
    (step, event) => transport.andThen(step, (s) => reduce(s, event, profile)),
    same(state),
  );
}
