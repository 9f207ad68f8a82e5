/** From a response to a score. All limits are ours (estimates) and named, so that a different taste is one edit. */
import type { Ask, Grade, Held, Response, Score } from './types.ts';

/** Pointing within this is a hit, bars; on a coarse display, within so many of its columns. */
export const HIT_BARS = 1;
export const HIT_COLUMNS = 1.5;
/** Pointing within this is fully right, bars and columns; from there the grade falls evenly to 0 at `ZERO_BARS`. */
export const FULL_BARS = 0.5;
export const FULL_COLUMNS = 1;
export const ZERO_BARS = 8;
/** The same for a time read off the overview, s. */
export const TIME_HIT_SECONDS = 3;
export const TIME_FULL_SECONDS = 1.5;
export const TIME_ZERO_SECONDS = 30;
/** A counted number of bars is a hit only when it is right; each bar off takes this from the grade. */
export const LOSS_PER_BAR = 0.5;

/** Seconds to an answer below which it came at once, and from which it came too late to be of use in a mix. */
export const QUICK_SECONDS = 6;
export const SLOW_SECONDS = 25;
/** Confidence from which an answer was known rather than guessed; and so far above chance at least. */
export const KNOWN_CONFIDENCE = 0.75;
export const GUESS_MARGIN = 0.15;

type Measured = Pick<Held, 'barSeconds' | 'columnSeconds'>;

/** Widest error in s that is a hit, for answers that are times. */
export function hitSeconds(by: Ask['by'], { barSeconds, columnSeconds }: Measured): number {
  const least = by === 'time' ? TIME_HIT_SECONDS : HIT_BARS * barSeconds;
  return Math.max(least, HIT_COLUMNS * columnSeconds);
}

/** Widest error in s that is fully right. */
function fullSeconds(by: Ask['by'], { barSeconds, columnSeconds }: Measured): number {
  const least = by === 'time' ? TIME_FULL_SECONDS : FULL_BARS * barSeconds;
  return Math.max(least, FULL_COLUMNS * columnSeconds);
}

/** Chance 0..1 of a hit for someone who points anywhere in `length` s. */
export function chanceOfHit(by: Ask['by'], measured: Measured, length: number): number {
  return length > 0 ? Math.min(1, (2 * hitSeconds(by, measured)) / length) : 1;
}

/** What `judge` needs of an item. */
export interface Judged {
  /** Missing where the answer is no time. */
  shown: { ask?: Pick<Ask, 'by'> };
  held: Pick<Held, 'answer' | 'chance' | 'barSeconds' | 'columnSeconds'>;
}

/**
 * The score of a response.
 * @throws RangeError when the response is not a number, or its seconds or confidence are out of bounds
 */
export function judge({ shown: { ask }, held }: Judged, response: Response): Score {
  const { value, seconds, confidence } = response;
  if (!Number.isFinite(value)) throw new RangeError('An answer is a number.');
  if (!(seconds >= 0)) throw new RangeError('An answer takes some time.');
  if (!(confidence >= 0 && confidence <= 1)) throw new RangeError('Confidence is between 0 and 1.');
  const given = { chance: held.chance, responseSeconds: seconds, confidence };
  const { answer, barSeconds } = held;
  const graded = (correct: number, hit: boolean, errorBars: number | null): Score => {
    const score = {
      ...given,
      correct,
      hit,
      errorBars,
      errorMs: errorBars === null ? null : errorBars * barSeconds * 1000,
    };
    return { ...score, grade: gradeOf(score) };
  };
  if (answer.type === 'choice') {
    const hit = value === answer.index;
    return graded(hit ? 1 : 0, hit, null);
  }
  if (answer.type === 'bars') {
    const error = value - answer.bars;
    return graded(Math.max(0, 1 - LOSS_PER_BAR * Math.abs(error)), error === 0, error);
  }
  const error = value - answer.time;
  const by = ask?.by ?? 'pointing';
  const full = fullSeconds(by, held);
  const zero = Math.max(by === 'time' ? TIME_ZERO_SECONDS : ZERO_BARS * barSeconds, 2 * full);
  const correct = Math.min(1, Math.max(0, (zero - Math.abs(error)) / (zero - full)));
  return graded(correct, Math.abs(error) <= hitSeconds(by, held), error / barSeconds);
}

/**
 * The scheduler's grade, by our own rule:
 * - again: not a hit;
 * - hard: a hit, but a guess (confidence no more than GUESS_MARGIN above chance), or slow (from SLOW_SECONDS);
 * - easy: fully right, at once (within QUICK_SECONDS) and known (from KNOWN_CONFIDENCE);
 * - good: any other hit.
 */
export function gradeOf(score: Omit<Score, 'grade' | 'errorBars' | 'errorMs'>): Grade {
  const { hit, correct, responseSeconds, confidence, chance } = score;
  if (!hit) return 1;
  if (responseSeconds >= SLOW_SECONDS || confidence <= chance + GUESS_MARGIN) return 2;
  if (correct >= 1 && responseSeconds <= QUICK_SECONDS && confidence >= KNOWN_CONFIDENCE) return 4;
  return 3;
}
