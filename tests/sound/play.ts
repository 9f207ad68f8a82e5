/** A deck with its sound, rendered as the page renders it: the state machine is told the time and the presses, the mixer its movements. */
import type { Effect } from '../../shared/behaviour/effect.ts';
import { movementsOf } from '../../shared/behaviour/movements.ts';
import type { DeckEvent } from '../../shared/behaviour/press.ts';
import { reduce } from '../../shared/behaviour/reduce.ts';
import type { DeckState } from '../../shared/behaviour/state.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { type DeskState, Mixer, STILL_DESK } from '../../workers/sound/mixer.ts';
import type { Pcm } from '../../workers/sound/reader.ts';

export const RATE = 44_100;
export const QUANTUM = 128;
/** Sample n has the value (n + 1) / SCALE: what is heard tells which sample it is; 0 is silence. */
const SCALE = 2 ** 23;

/** A track whose every sample tells its own number. */
export function numbered(seconds: number): Pcm {
  const left = Float32Array.from({ length: Math.round(seconds * RATE) }, (_, n) => (n + 1) / SCALE);
  return [left, left];
}

/** Number of the sample that was heard; −1: silence. */
export const heardSample = (value: number): number => Math.round(value * SCALE) - 1;

export const OPEN_DESK: DeskState = { ...STILL_DESK, volume: 1, phones: 1, fades: false };

export interface Timed {
  /** s */
  time: number;
  event: DeckEvent;
}

export interface Heard {
  left: Float32Array;
  right: Float32Array;
  phones: Float32Array;
  /** The deck's state in force at the start of each quantum. */
  states: DeckState[];
  effects: Effect[];
}

/**
 * Plays `events` on the deck from time 0 on. Between them the deck is told the time every `every` seconds, as a page
 * does that is not always quick.
 */
export function perform(
  start: DeckState,
  profile: DeckProfile,
  pcm: Pcm,
  events: readonly Timed[],
  seconds: number,
  { desk = OPEN_DESK, every = 0.02 }: { desk?: DeskState; every?: number } = {},
): Heard {
  const mixer = new Mixer(RATE);
  mixer.take({ kind: 'desk', desk });
  mixer.take({ kind: 'track', deck: 0, pcm });
  mixer.take({ kind: 'move', deck: 0, movements: movementsOf(start, profile) });
  const quanta = Math.ceil((seconds * RATE) / QUANTUM);
  const make = () => new Float32Array(quanta * QUANTUM);
  const [left, right, phones, phonesRight] = [make(), make(), make(), make()];
  const states: DeckState[] = [];
  const effects: Effect[] = [];
  let state = start;
  let told = 0;
  let next = 0;
  const tell = (event: DeckEvent) => {
    const step = reduce(state, event, profile);
    effects.push(...step.effects);
    for (const effect of step.effects) {
      if (effect.kind === 'listen-ahead')
        mixer.take({ kind: 'listen-ahead', deck: 0, position: effect.position });
    }
    if (step.state === state) return;
    state = step.state;
    if (step.effects.length) mixer.take({ kind: 'move', deck: 0, movements: movementsOf(state, profile) });
  };
  for (let q = 0; q < quanta; q++) {
    const from = (q * QUANTUM) / RATE;
    // A press is told before the quantum in which it happens.
    while (next < events.length && events[next].time < from + QUANTUM / RATE) {
      tell({ kind: 'tick', time: events[next].time });
      tell(events[next].event);
      next++;
    }
    if (from >= told + every) tell({ kind: 'tick', time: (told = from) });
    states.push(state);
    const part = (of: Float32Array) => of.subarray(q * QUANTUM, (q + 1) * QUANTUM);
    mixer.render([part(left), part(right)], [part(phones), part(phonesRight)], q * QUANTUM);
  }
  return { left, right, phones, states, effects };
}
