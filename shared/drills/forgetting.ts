/** How fast a person forgets a deck, and what will be left of it after a pause. */
import { daysSince, recallAfter, replay } from './cards.ts';
import { type Interval, meanOf } from './statistics.ts';
import type { AnswerRecord, CardRecord } from './types.ts';

/**
 * A right answer is a lucky one with the item's chance, and else needs both the skill (`fresh`, as just after training)
 * and the memory of it: P(hit) = chance + (1 − chance) · fresh · R(pace · days), R being the scheduler's forgetting
 * curve of the item's card. `pace` 1 forgets as the scheduler expects; 2 twice as fast.
 */
export interface Forgetting {
  fresh: Interval;
  pace: Interval;
}

/** Answers after a pause that are needed. */
export const PAUSES_NEEDED = 30;
/** Shorter pauses are within a session and tell nothing of forgetting, days. */
const LEAST_PAUSE = 0.25;
/** Where the values are looked for: pace by even steps of its logarithm. */
const PACES = Array.from({ length: 61 }, (_, i) => 0.02 * 2500 ** (i / 60));
const FRESH = Array.from({ length: 50 }, (_, i) => (i + 1) / 50);
/** Half the χ² quantile of one degree of freedom at 95 % (3.841): how far the log-likelihood may fall. */
const FALL = 1.9207;

interface Pause {
  hit: boolean;
  chance: number;
  days: number;
  card: CardRecord;
}

function pausesOf(records: readonly AnswerRecord[]): Pause[] {
  return replay(records).steps.flatMap(({ record, before }) => {
    if (!before) return [];
    const days = daysSince(before, record.at);
    return days >= LEAST_PAUSE ? [{ hit: record.hit, chance: record.chance, days, card: before }] : [];
  });
}

/**
 * The most likely pace and freshness, each with its profile-likelihood interval (Wilks 1938; citation from memory).
 * An interval that reaches the end of what is looked at has that end.
 * @param records all answers of one deck, from the first one on: cards are made anew from them
 * @returns null for fewer than PAUSES_NEEDED answers after a pause
 */
export function forgetting(records: readonly AnswerRecord[]): Forgetting | null {
  const pauses = pausesOf(records);
  if (pauses.length < PAUSES_NEEDED) return null;
  const byPace = PACES.map((pace) => {
    const recall = pauses.map(({ card, days }) => recallAfter(card, days, pace));
    return FRESH.map((fresh) =>
      pauses.reduce((sum, { hit, chance }, i) => {
        const p = Math.min(1 - 1e-9, Math.max(1e-9, chance + (1 - chance) * fresh * recall[i]));
        return sum + Math.log(hit ? p : 1 - p);
      }, 0),
    );
  });
  const overPace = byPace.map((row) => Math.max(...row));
  const overFresh = FRESH.map((_, f) => Math.max(...byPace.map((row) => row[f])));
  return {
    pace: profile(PACES, overPace, pauses.length),
    fresh: profile(FRESH, overFresh, pauses.length),
  };
}

function profile(grid: readonly number[], heights: readonly number[], count: number): Interval {
  const top = Math.max(...heights);
  const best = heights.indexOf(top);
  const inside = heights.flatMap((height, i) => (height >= top - FALL ? [i] : []));
  // One step further: the edge lies between two values of the grid.
  const low = grid[Math.max(0, inside[0] - 1)];
  const high = grid[Math.min(grid.length - 1, inside[inside.length - 1] + 1)];
  return { value: grid[best], low, high, count };
}

export interface ForecastDay {
  /** Days from now. */
  day: number;
  /** Mean chance 0..1 that what was learnt of the deck is still there. */
  value: number;
  low: number;
  high: number;
}

/**
 * What will be left of a deck's cards on each of the next days if it is not trained, by the scheduler's model at the
 * person's own pace where that is known (low and high: the ends of its interval), else at the model's.
 * @param now ms since 1970
 * @returns empty without cards
 */
export function forecast(
  cards: readonly CardRecord[],
  pace: Interval | null,
  now: number,
  days = 30,
): ForecastDay[] {
  const learnt = cards.filter((card) => card.reps > 0);
  if (!learnt.length) return [];
  const at = (day: number, speed: number) =>
    meanOf(learnt.map((card) => recallAfter(card, daysSince(card, now) + day, speed)));
  return Array.from({ length: days + 1 }, (_, day) => ({
    day,
    value: at(day, pace?.value ?? 1),
    low: at(day, pace?.high ?? 1),
    high: at(day, pace?.low ?? 1),
  }));
}
