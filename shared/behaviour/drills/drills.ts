/** The hand drills: the best way for a deck, computed; and what somebody did, beside it. */
import type { DeckProfile } from '../../profile/schema.ts';
import { isRelease } from '../press.ts';
import { shortest } from '../search.ts';
import { drivePulled, reachSlot, recallBeforeDrop, shortenLoop, twoLoops } from './deck-drills.ts';
import { findByLetter } from './list-drill.ts';
import { hearFirst } from './listen-drill.ts';
import type { AnyMachine, Drill, DrillId, DrillPress, DrillStep, Refusal } from './machine.ts';

export const drills: Record<DrillId, Drill> = {
  'reach-slot': (profile) => reachSlot(profile),
  'recall-before-drop': recallBeforeDrop,
  'shorten-loop': shortenLoop,
  'two-loops': twoLoops,
  'find-by-letter': (profile) => findByLetter(profile),
  'hear-first': hearFirst,
  'drive-pulled': drivePulled,
};

export interface Solution {
  outcome: 'solved';
  /** What to do, waits included. */
  sequence: DrillStep[];
  /** Fewest presses; waiting and letting go count nothing. */
  presses: number;
  /** Least time with so many presses, s; of a hand as quick as `practice.ts` says. */
  leastSeconds: number;
  /** Error that is left even so, ms; null where nothing is measured. */
  errorMs: number | null;
}

export const isRefusal = (answer: AnyMachine | Refusal): answer is Refusal => 'outcome' in answer;

const machineOf = (drill: DrillId | Drill, profile: DeckProfile): AnyMachine | Refusal =>
  (typeof drill === 'string' ? drills[drill] : drill)(profile);

/**
 * The optimal sequence on that deck, by search over the presses that its profile has; or that the drill is not needed
 * there, or not possible, and why.
 * @param drill one of ours, or a function that makes a machine for a profile
 */
export function solve(drill: DrillId | Drill, profile: DeckProfile): Solution | Refusal {
  const machine = machineOf(drill, profile);
  return isRefusal(machine) ? machine : solveMachine(machine);
}

/** A wait follows a press, never another wait: each machine offers the waits that lead somewhere. */
interface Tried {
  state: unknown;
  waited: boolean;
}

function solveMachine(machine: AnyMachine): Solution | Refusal {
  const after = (state: unknown, step: DrillStep): unknown => {
    if (step.kind === 'wait') return machine.passTo(state, machine.now(state) + step.seconds);
    const pressed = machine.press(state, step);
    // What is reached by the press itself is reached: the hand's way to the next one is not waited for.
    return machine.done(pressed)
      ? pressed
      : machine.passTo(pressed, machine.now(pressed) + machine.hand(step));
  };
  const way = shortest<Tried, DrillStep>({
    start: { state: machine.start, waited: false },
    actions: ({ state, waited }) => [
      ...machine.presses(state),
      ...(waited ? [] : machine.waits(state)).map((seconds) => ({ kind: 'wait' as const, seconds })),
    ],
    act: ({ state }, step) => {
      const next = after(state, step);
      return machine.failed(next) ? null : { state: next, waited: step.kind === 'wait' };
    },
    done: ({ state }) => machine.done(state),
    key: ({ state, waited }) => `${waited} ${machine.key(state)}`,
    cost: (step) => ({
      presses: step.kind === 'wait' || isRelease(step) ? 0 : 1,
      seconds: step.kind === 'wait' ? step.seconds : machine.hand(step),
    }),
    most: machine.most,
  });
  if (!way) return { outcome: 'not-possible', reason: 'out-of-reach' };
  const { sequence, presses, seconds, end } = way;
  const errorMs = inMs(machine.error(end.state));
  return { outcome: 'solved', sequence, presses, leastSeconds: seconds, errorMs };
}

const inMs = (seconds: number | null): number | null => (seconds === null ? null : seconds * 1000);

export interface RecordedPress {
  /** s from the drill's start */
  time: number;
  press: DrillPress;
}

export interface Judgement {
  outcome: 'judged';
  done: boolean;
  /** Something was heard that spoilt it, or it was too late. */
  failed: boolean;
  /** Presses up to the goal, or all of them where it was not reached. */
  presses: number;
  best: Solution;
  /** s from the drill's start to the goal, or to the last press. */
  seconds: number;
  errorMs: number | null;
}

/** What somebody pressed, in order of time, beside the best there is on that deck. */
export function judge(
  drill: DrillId | Drill,
  profile: DeckProfile,
  recorded: readonly RecordedPress[],
): Judgement | Refusal {
  const machine = machineOf(drill, profile);
  if (isRefusal(machine)) return machine;
  const best = solveMachine(machine);
  if (best.outcome !== 'solved') return best;
  let state: unknown = machine.start;
  let presses = 0;
  for (const { time, press } of recorded) {
    if (machine.done(state) || machine.failed(state)) break;
    state = machine.passTo(state, Math.max(time, machine.now(state)));
    if (machine.done(state) || machine.failed(state)) break;
    state = machine.press(state, press);
    if (!isRelease(press)) presses++;
  }
  return {
    outcome: 'judged',
    done: machine.done(state),
    failed: machine.failed(state),
    presses,
    best,
    seconds: machine.now(state),
    errorMs: inMs(machine.error(state)),
  };
}
