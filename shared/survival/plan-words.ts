/** The words of a slot plan, ready to translate. */
import type { PlanKey, SlotMove } from './planner.ts';

type Params = SlotMove['why']['params'];

export const planWords: Record<PlanKey, (p: Params) => string> = {
  'into-reach': (p) =>
    `Slot ${p.slot} is out of reach on ${p.decks}, and it matters enough to be in reach there.`,
  'nearer-bank': (p) =>
    `Slot ${p.slot} takes a change of bank on ${p.decks}, and it matters enough to be nearer.`,
  'among-first': (p) => `It is among the ${p.slots} that matter most.`,
  'had-no-slot': () => 'It had no slot, and here is room for it.',
  'makes-room': (p) => `Slot ${p.slot} goes to ${p.by}, which matters more.`,
  'no-room': (p) => `Slot ${p.slot} goes to ${p.by}, which matters more, and no slot is free.`,
};

/** Why a cue moves, in one sentence. */
export const moveSentence = ({ why }: Pick<SlotMove, 'why'>): string => planWords[why.key](why.params);

/** The move itself: `slot 5 → slot 2`. */
export function moveLabel({ from, to }: Pick<SlotMove, 'from' | 'to'>): string {
  const slot = (n: number | null) => (n === null ? 'no slot' : `slot ${n}`);
  return `${slot(from)} → ${slot(to)}`;
}

export const NO_MOVES = 'Every cue is where this booth needs it. Nothing has to move.';
