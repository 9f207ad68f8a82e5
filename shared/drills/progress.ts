/** How well a deck is read: over time, beside the richest display, and by kind of section. */
import { type Interval, meanOf, medianInterval, shareInterval, squaresOf, tQuantile } from './statistics.ts';
import { isLoadingDrill } from './loading/kinds.ts';
import type { AnswerRecord, SectionKind } from './types.ts';

/**
 * What is told: `miss` is 1 less the grade (0 to 1, all drills), `bars` the size of the error in bars (drills whose
 * answer is a place or a number), `seconds` the time to the answer. Of `miss` it is the mean, of the others the median:
 * one answer far off, or one long pause, would move a mean of a dozen more than all the rest, and intervals of such
 * means hold too rarely (79 to 86 % in place of 95 % for our simulated learners). Far misses are in `miss`.
 */
export type Measure = 'miss' | 'bars' | 'seconds';

/** Answers of one point of a curve, and the least that make an interval worth drawing. */
export const POINT_ANSWERS = 12;
export const LEAST_ANSWERS = 8;

/** The measure of one answer, or null where it has none. */
export function measured(record: AnswerRecord, measure: Measure): number | null {
  if (measure === 'miss') return 1 - record.correct;
  if (measure === 'seconds') return record.responseSeconds;
  return record.errorBars === null ? null : Math.abs(record.errorBars);
}

const valuesOf = (records: readonly AnswerRecord[], measure: Measure): number[] =>
  records.flatMap((record) => measured(record, measure) ?? []);

/** Answers on a deck itself, in order of time. */
export const trainedOn = (records: readonly AnswerRecord[], deckId: string): AnswerRecord[] =>
  inTime(records.filter((record) => record.deckId === deckId && !record.baseline));

/** Answers to the deck's items on the richest display, in order of time. */
export const baselineOf = (records: readonly AnswerRecord[], deckId: string): AnswerRecord[] =>
  inTime(records.filter((record) => record.deckId === deckId && record.baseline));

/** Both: all that was answered about a deck. */
export const answersFor = (records: readonly AnswerRecord[], deckId: string): AnswerRecord[] =>
  records.filter((record) => record.deckId === deckId);

const inTime = (records: AnswerRecord[]) => records.sort((a, b) => a.at - b.at);

export interface Point extends Interval {
  /** ms since 1970: the mean time of its answers. */
  at: number;
}

/**
 * A measure over time: a point for every POINT_ANSWERS answers in a row, those left over joined to the last. The
 * interval is Wilson's for `miss` and that of the median for the others, under the drills as they were mixed in those
 * answers.
 */
export function overTime(records: readonly AnswerRecord[], measure: Measure): Point[] {
  const usable = inTime(records.filter((record) => measured(record, measure) !== null));
  const points: Point[] = [];
  const count = Math.max(1, Math.floor(usable.length / POINT_ANSWERS));
  for (let i = 0; i < count; i++) {
    const part = usable.slice(i * POINT_ANSWERS, i === count - 1 ? undefined : (i + 1) * POINT_ANSWERS);
    const interval = intervalOf(part, measure);
    if (interval) points.push({ ...interval, at: meanOf(part.map((record) => record.at)) });
  }
  return points;
}

/** A measure over some answers, with its interval, or null for fewer than LEAST_ANSWERS. */
export function intervalOf(records: readonly AnswerRecord[], measure: Measure): Interval | null {
  const values = valuesOf(records, measure);
  if (values.length < LEAST_ANSWERS) return null;
  if (measure === 'miss') return shareInterval(meanOf(values) * values.length, values.length);
  return medianInterval(values);
}

/**
 * How much worse the deck is read than the richest display: the mean difference over the drills that were asked on
 * both, each weighed by how much it says, n·m/(n+m). The interval is Welch's (1947) with the variances pooled within
 * drills on either display; citation from memory. Of all measures it is the difference of means.
 * @returns null while either side has too few answers
 */
export function gapToRich(
  records: readonly AnswerRecord[],
  deckId: string,
  measure: Measure,
): Interval | null {
  const here = byDrill(trainedOn(records, deckId), measure);
  const rich = byDrill(baselineOf(records, deckId), measure);
  const cells = [...here].flatMap(([drill, deck]) => {
    const base = rich.get(drill);
    return base ? [{ deck, base, weight: (deck.length * base.length) / (deck.length + base.length) }] : [];
  });
  const total = cells.reduce((sum, { weight }) => sum + weight, 0);
  const side = (pickSide: (cell: (typeof cells)[number]) => number[]) => {
    const count = cells.reduce((sum, cell) => sum + pickSide(cell).length, 0);
    const freedom = count - cells.length;
    const variance = cells.reduce((sum, cell) => sum + squaresOf(pickSide(cell)), 0) / freedom;
    const share = cells.reduce((sum, cell) => sum + (cell.weight / total) ** 2 / pickSide(cell).length, 0);
    return { count, freedom, variance: variance * share };
  };
  const a = side(({ deck }) => deck);
  const b = side(({ base }) => base);
  if (a.count < LEAST_ANSWERS || b.count < LEAST_ANSWERS || a.freedom < 1 || b.freedom < 1) return null;
  const value = cells.reduce(
    (sum, { deck, base, weight }) => sum + (weight / total) * (meanOf(deck) - meanOf(base)),
    0,
  );
  const variance = a.variance + b.variance;
  const freedom = variance ** 2 / (a.variance ** 2 / a.freedom + b.variance ** 2 / b.freedom) || 1;
  const half = variance > 0 ? tQuantile(freedom) * Math.sqrt(variance) : 0;
  return { value, low: value - half, high: value + half, count: a.count + b.count };
}

function byDrill(records: readonly AnswerRecord[], measure: Measure): Map<AnswerRecord['drill'], number[]> {
  const cells = new Map<AnswerRecord['drill'], number[]>();
  for (const record of records) {
    const value = measured(record, measure);
    if (value === null) continue;
    cells.set(record.drill, [...(cells.get(record.drill) ?? []), value]);
  }
  return cells;
}

export interface SectionEstimate extends Interval {
  section: SectionKind;
  /** The plain mean; `value` is drawn towards the deck's mean by how little is known. */
  plain: number;
}

/** Answers that a kind of section needs before it is named strong or weak. */
export const SECTION_ANSWERS = 8;

/**
 * Kinds of section from the best read to the worst, by `miss`; questions about lists and files are about none. Only
 * with SECTION_ANSWERS each, and two kinds or more.
 * Each mean is drawn to the common one by the share of its variance that is chance: random effects with the moment
 * estimate of DerSimonian and Laird (1986). The interval is that of the shrunk mean, widened by the uncertainty of the
 * common mean and, after Morris (1983), "Parametric empirical Bayes inference", by that of how much the kinds differ.
 * Citations from memory.
 */
export function bySection(records: readonly AnswerRecord[], deckId: string): SectionEstimate[] {
  const cells = new Map<SectionKind, number[]>();
  for (const record of trainedOn(records, deckId)) {
    if (isLoadingDrill(record.drill)) continue;
    cells.set(record.section, [...(cells.get(record.section) ?? []), 1 - record.correct]);
  }
  const kinds = [...cells].filter(([, values]) => values.length >= SECTION_ANSWERS);
  if (kinds.length < 2) return [];
  const counts = kinds.map(([, values]) => values.length);
  const freedom = counts.reduce((sum, n) => sum + n - 1, 0);
  // One variance within all kinds: that of eight answers alone is too shaky to weigh by, and may be 0.
  const within = kinds.reduce((sum, [, values]) => sum + squaresOf(values), 0) / freedom;
  const means = kinds.map(([, values]) => meanOf(values));
  const spread = spreadOf(means, counts, within);
  const weights = counts.map((n) => 1 / (spread + within / n || 1));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const common = means.reduce((sum, mean, i) => sum + weights[i] * mean, 0) / total;
  const estimates = kinds.map(([section, values], i): SectionEstimate => {
    const error = within / values.length;
    const trust = spread + error > 0 ? spread / (spread + error) : 1;
    const value = trust * means[i] + (1 - trust) * common;
    const drawn = (1 - trust) * (means[i] - common);
    const doubt = (2 / Math.max(1, kinds.length - 3)) * drawn ** 2;
    const half = tQuantile(freedom) * Math.sqrt(trust * error + (1 - trust) ** 2 / total + doubt);
    return {
      section,
      plain: means[i],
      value,
      low: Math.max(0, value - half),
      high: Math.min(1, value + half),
      count: values.length,
    };
  });
  return estimates.sort((a, b) => a.value - b.value);
}

/** Variance of the true means between kinds. */
function spreadOf(means: readonly number[], counts: readonly number[], within: number): number {
  if (!(within > 0)) return 0;
  const weights = counts.map((n) => n / within);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const common = means.reduce((sum, mean, i) => sum + weights[i] * mean, 0) / total;
  const q = means.reduce((sum, mean, i) => sum + weights[i] * (mean - common) ** 2, 0);
  const squares = weights.reduce((sum, weight) => sum + weight * weight, 0);
  return Math.max(0, (q - (means.length - 1)) / (total - squares / total));
}
