/**
 * The schedule of every item key, by FSRS (package `ts-fsrs`, version 6 of the algorithm with its default
 * parameters). Randomness in its intervals is off, so that answers can be replayed.
 */
import { type Card, createEmptyCard, fsrs, forgetting_curve, generatorParameters, S_MIN } from 'ts-fsrs';
import type { AnswerRecord, CardRecord, ItemKey, Score } from './types.ts';

/** Chance of a hit that the schedule aims at: the package's default, and what is called due. */
export const WANTED_RETENTION = 0.9;
export const DAY_MS = 86_400_000;

const parameters = generatorParameters({ request_retention: WANTED_RETENTION, enable_fuzz: false });
const scheduler = fsrs(parameters);

/** A key that was never asked. */
export function newCard(key: ItemKey, now: number): CardRecord {
  return fromCard(key, createEmptyCard(new Date(now)));
}

/** Least stability and bounds of the difficulty that the scheduler goes on from: its own limits. */
export const CARD_LIMITS = { stability: S_MIN, difficulty: [1, 10] } as const;

/** Whether the scheduler can go on from a card as it was kept. */
const isSound = ({ stability, difficulty }: CardRecord): boolean =>
  stability >= CARD_LIMITS.stability &&
  difficulty >= CARD_LIMITS.difficulty[0] &&
  difficulty <= CARD_LIMITS.difficulty[1];

/**
 * The card after an answer on the trained deck. One that is of no use (damaged) is begun anew: the answer counts.
 * Baseline answers say nothing of it and must not be given here.
 * @param card null for the first answer
 * @param now ms since 1970
 */
export function afterAnswer(
  card: CardRecord | null,
  key: ItemKey,
  score: Pick<Score, 'grade'>,
  now: number,
): CardRecord {
  const before = card && isSound(card) ? card : newCard(key, now);
  return fromCard(key, scheduler.next(toCard(before), new Date(now), score.grade).card);
}

/** Chance 0..1 that the key would be answered rightly at `now`, by the scheduler's model; 0 when it is new. */
export function retrievability(card: CardRecord, now: number): number {
  return recallAfter(card, daysSince(card, now), 1);
}

/**
 * The same `days` after the card's last answer, for a person who forgets at `pace` times the model's pace.
 */
export function recallAfter(
  card: Pick<CardRecord, 'stability' | 'reps'>,
  days: number,
  pace: number,
): number {
  if (!card.reps || !(card.stability > 0)) return 0;
  return forgetting_curve(parameters.w, Math.max(0, days) * pace, card.stability);
}

export const daysSince = ({ lastReview }: CardRecord, now: number): number =>
  lastReview === null ? 0 : Math.max(0, now - lastReview) / DAY_MS;

/** What a card is made from: an answer to a reading drill, or a round of a hand drill. */
export type Graded = Pick<AnswerRecord, 'at' | 'key' | 'grade'> & Partial<Pick<AnswerRecord, 'baseline'>>;

/** One answer with the state of its card just before it. */
export interface Replayed<R extends Graded> {
  record: R;
  /** null for a first answer. */
  before: CardRecord | null;
}

/** All cards made anew from the answers, in order of time: for a person whose cards were lost, and for estimates. */
export function replay<R extends Graded>(
  records: readonly R[],
): {
  cards: Map<ItemKey, CardRecord>;
  steps: Replayed<R>[];
} {
  const cards = new Map<ItemKey, CardRecord>();
  const steps = [...records]
    .sort((a, b) => a.at - b.at)
    .filter((record) => !record.baseline)
    .map((record): Replayed<R> => {
      const before = cards.get(record.key) ?? null;
      cards.set(record.key, afterAnswer(before, record.key, record, record.at));
      return { record, before };
    });
  return { cards, steps };
}

function toCard(record: CardRecord): Card {
  return {
    due: new Date(record.due),
    stability: record.stability,
    difficulty: record.difficulty,
    elapsed_days: 0,
    scheduled_days: record.scheduledDays,
    learning_steps: record.learningStep,
    reps: record.reps,
    lapses: record.lapses,
    state: record.state,
    ...(record.lastReview === null ? {} : { last_review: new Date(record.lastReview) }),
  };
}

function fromCard(key: ItemKey, card: Card): CardRecord {
  return {
    key,
    due: card.due.getTime(),
    stability: card.stability,
    difficulty: card.difficulty,
    scheduledDays: card.scheduled_days,
    learningStep: card.learning_steps,
    reps: card.reps,
    lapses: card.lapses,
    state: card.state as CardRecord['state'],
    lastReview: card.last_review?.getTime() ?? null,
  };
}
