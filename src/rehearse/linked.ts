/** Whether what a deck knows of the other one still holds. */
import type { DeckState } from '../../shared/behaviour/state.ts';

/** Shares of a beat and beats per minute that make no difference. */
const SAME_BEAT = 1e-4;
const SAME_BPM = 1e-6;

/** True when the known tempo and beat lead to the very moment that is told now. */
export function onGrid(known: DeckState['master'], told: NonNullable<DeckState['master']>): boolean {
  if (!known || Math.abs(known.bpm - told.bpm) > SAME_BPM) return false;
  const due = known.beat + ((told.time - known.time) * known.bpm) / 60;
  const off = due - told.beat;
  return Math.abs(off - Math.round(off)) < SAME_BEAT;
}
