/**
 * Rounds of hand drills as they are kept: graded, scheduled beside the reading drills under a key of their own
 * (deck, drill, `hand`), and told as progress.
 */
import { solve, type Solution } from '../behaviour/drills/drills.ts';
import { type DrillId, DRILLS, type Refusal } from '../behaviour/drills/machine.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { afterAnswer } from './cards.ts';
import { type Interval, meanOf, medianInterval } from './statistics.ts';
import { DRILLS as READING } from './kinds/index.ts';
import { isLoadingDrill, type LoadingKind } from './loading/kinds.ts';
import { richestOf } from './make.ts';
import type { CardRecord, DrillKind, Grade, HandRecord, HandResult, ItemKey, Session } from './types.ts';

/** Stands in a key where a reading drill has the kind of section. */
export const HAND = 'hand';

export const handKey = (deckId: string, drill: DrillId): ItemKey => `${deckId}/${drill}/${HAND}`;

/** The parts of a hand drill's key, or null for a key of a reading drill. */
export function handPartsOf(key: ItemKey): { deckId: string; drill: DrillId } | null {
  const [deckId, drill, section] = key.split('/');
  return section === HAND ? { deckId, drill: drill as DrillId } : null;
}

/** Presses over the fewest by which a way still counts as known: half as many again, and one slip at least. Estimate. */
export const SPARE_SHARE = 1 / 2;
export const SPARE_PRESSES = 1;
/** s over the least time: within the first it went at once, from the second on it came too late for a mix. Estimates. */
export const QUICK_OVER = 2;
export const SLOW_OVER = 8;

/**
 * The scheduler's grade, by our own rule:
 * - again: the goal was not reached;
 * - hard: reached by a long way round, or slowly;
 * - easy: with the fewest presses, at once;
 * - good: any other way to the goal.
 */
export function gradeOfHand(result: HandResult): Grade {
  const { done, presses, fewest } = result;
  if (!done) return 1;
  const over = secondsOver(result);
  if (presses > fewest + Math.max(SPARE_PRESSES, SPARE_SHARE * fewest) || over >= SLOW_OVER) return 2;
  return presses <= fewest && over <= QUICK_OVER ? 4 : 3;
}

/** s over the least time of a practised hand, never below 0. */
export const secondsOver = ({
  seconds,
  leastSeconds,
}: Pick<HandResult, 'seconds' | 'leastSeconds'>): number => Math.max(0, seconds - leastSeconds);

export interface HandKept {
  record: HandRecord;
  card: CardRecord;
}

/** What is kept of a round, and the card after it. */
export function handKept(result: HandResult, card: CardRecord | null, now: number): HandKept {
  const key = handKey(result.deckId, result.drill);
  const record: HandRecord = { ...result, at: now, key, grade: gradeOfHand(result) };
  return { record, card: afterAnswer(card, key, record, now) };
}

/** The session after a round of its open item. */
export const handAnswered = (session: Session, record: HandRecord): Session => ({
  ...session,
  at: session.at + 1,
  hands: [...(session.hands ?? []), record],
});

/** Solutions that are remembered: the search takes up to a third of a second. */
const KEPT_SOLUTIONS = 300;
const solutions = new Map<string, Solution | Refusal>();

/** `solve`, remembered for decks whose facts are the same. */
export function solved(drill: DrillId, profile: DeckProfile): Solution | Refusal {
  const { palette: _palette, ...facts } = profile;
  const key = `${drill} ${JSON.stringify(facts)}`;
  let known = solutions.get(key);
  if (!known) {
    if (solutions.size >= KEPT_SOLUTIONS) solutions.clear();
    solutions.set(key, (known = solve(drill, profile)));
  }
  return known;
}

/**
 * Whether a drill can be asked on a deck; of reading: given a track that suits. A list and files has every deck.
 */
export function deckHas(
  drill: DrillKind | LoadingKind | DrillId,
  deck: DeckProfile,
  profiles: readonly DeckProfile[],
): boolean {
  if (isLoadingDrill(drill)) return true;
  if (drill in READING) return READING[drill as DrillKind].canAsk(deck, richestOf(profiles));
  return solved(drill as DrillId, deck).outcome === 'solved';
}

/** A hand drill that can be asked on a deck, as a session is planned from it. */
export interface HandKey {
  key: ItemKey;
  deckId: string;
  drill: DrillId;
  section: typeof HAND;
  baseline: false;
  sound: 'never';
}

/** The drills that this deck has, one by one, so that the page can go on between them. */
export function* handKeys(profiles: readonly DeckProfile[]): Generator<HandKey | null, void> {
  for (const profile of profiles) {
    for (const drill of DRILLS) {
      const has = solved(drill, profile).outcome === 'solved';
      const key = handKey(profile.id, drill);
      yield has ? { key, deckId: profile.id, drill, section: HAND, baseline: false, sound: 'never' } : null;
    }
  }
}

/** Rounds on one deck, in order of time. */
export const handsOn = (records: readonly HandRecord[], deckId: string): HandRecord[] =>
  records.filter((record) => record.deckId === deckId).sort((a, b) => a.at - b.at);

/** One drill on one deck in a few numbers. */
export interface HandSummary {
  drill: DrillId;
  rounds: number;
  reached: number;
  /** Of the rounds that reached the goal, the last one and the one with the fewest presses and then the least time. */
  last: HandRecord | null;
  best: HandRecord | null;
}

/** @param records of one deck, in order of time @returns in the order of the drills */
export function handSummaries(records: readonly HandRecord[]): HandSummary[] {
  return DRILLS.flatMap((drill): HandSummary[] => {
    const rounds = records.filter((record) => record.drill === drill);
    if (!rounds.length) return [];
    const reached = rounds.filter(({ done }) => done);
    const best = [...reached].sort((a, b) => a.presses - b.presses || a.seconds - b.seconds)[0] ?? null;
    return [{ drill, rounds: rounds.length, reached: reached.length, last: reached.at(-1) ?? null, best }];
  });
}

/** Rounds of one point of the curve: the fewest of which a median has its interval. */
export const POINT_ROUNDS = 6;

/** Seconds over the least time, for rounds that reached the goal: a median for every POINT_ROUNDS of them in a row. */
export function handsOverTime(records: readonly HandRecord[]): (Interval & { at: number })[] {
  const reached = records.filter(({ done }) => done);
  const count = Math.floor(reached.length / POINT_ROUNDS);
  return Array.from({ length: count }, (_, i) =>
    reached.slice(i * POINT_ROUNDS, i === count - 1 ? undefined : (i + 1) * POINT_ROUNDS),
  ).flatMap((part) => {
    const interval = medianInterval(part.map(secondsOver));
    return interval ? [{ ...interval, at: meanOf(part.map(({ at }) => at)) }] : [];
  });
}
