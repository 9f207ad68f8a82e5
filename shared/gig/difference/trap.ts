/** What the table of differences is made of. */
import type { DrillId } from '../../behaviour/drills/machine.ts';
import type { LoadingKind } from '../../drills/loading/kinds.ts';
import type { DrillKind } from '../../drills/types.ts';
import type { FactGroup, FactName } from '../../profile/facts.ts';
import type { DeckProfile } from '../../profile/schema.ts';

/** A drill of the hands, of reading, or of lists and files that trains the difference. */
export type DrillKey = DrillId | DrillKind | LoadingKind;
/** The one that trains it best, and others for decks that it cannot be asked on; empty: a thing to try, no drill. */
export type DrillKeys = readonly DrillKey[];

/** `gone`: not there any more; `moved`: there, but elsewhere; `changed`: there, but other; `new`: not there at home. */
export type DifferenceKind = 'gone' | 'moved' | 'changed' | 'new';

/** What one fact means for a person who comes from another deck. */
export interface Trap<V> {
  /** The fact says where a thing is, so that it moves. */
  place?: boolean;
  /** Being so or not is no feature that comes or goes. */
  quality?: boolean;
  /**
   * 0..100: how likely the difference is to catch somebody out who has practised on the other deck, as far as it
   * hinders: estimates. 0: it says nothing by itself.
   */
  likely(from: V, to: V): number;
  drills: DrillKeys;
  /** On the deck that one will play on, in one sentence; it names what was at home where that helps. */
  words(from: V, to: V): string;
}

export type Traps = {
  [G in FactGroup]: { [N in FactName<G>]: Trap<DeckProfile[G][N & keyof DeckProfile[G]]> };
};

/** Something better than at home seldom catches anybody out. Estimate. */
export const BETTER = 8;
/** Nor does what is new; but one may miss it. Estimate. */
export const NEW = 5;

/** A feature that is there or not. */
export const feature = (
  likely: number,
  gone: string,
  isNew: string,
  ...drills: DrillKeys
): Trap<boolean> => ({
  likely: (from) => (from ? likely : NEW),
  drills,
  words: (from) => (from ? gone : isNew),
});

/** A number of which more is better. */
export const amount = (
  likely: number,
  words: (from: number, to: number) => string,
  ...drills: DrillKeys
): Trap<number> => ({
  // A tenth less is hardly noticed, a half less is.
  likely: (from, to) => (to >= from ? NEW : Math.round(likely * Math.min(1, (2 * (from - to)) / from))),
  drills,
  words,
});

/** Values of `a` that are not in `b`. */
export const without = <T>(a: readonly T[], b: readonly T[]): T[] => a.filter((value) => !b.includes(value));
