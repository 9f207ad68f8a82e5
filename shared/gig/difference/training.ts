/** What a line of the difference sheet leads to. */
import { deckHas } from '../../drills/hands.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import type { Difference } from './difference.ts';
import type { DrillKey } from './trap.ts';

/** A drill on the deck that one will play on; `drill` null: it is tried on a rehearsal deck of that kind. */
export interface Training {
  drill: DrillKey | null;
}

/**
 * The first of the drills that the deck has; else a thing that hands do is tried. What is new is tried in any case:
 * drills ask for what was lost. The beat of the other deck is read and not done.
 * @returns null where neither is
 */
export function trainingFor(
  { drills, rehearse, kind, group }: Difference,
  to: DeckProfile,
  profiles: readonly DeckProfile[],
): Training | null {
  if (rehearse && kind === 'new' && group !== 'phase') return { drill: null };
  const drill = drills.find((each) => deckHas(each, to, profiles)) ?? null;
  return drill || rehearse ? { drill } : null;
}
