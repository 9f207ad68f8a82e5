/**
 * 200 simulated learners, whose error and forgetting are known, go through the real planner, judge and scheduler. The
 * 95 % intervals must hold the truth for at least 90 % of them: 95 % less three standard errors of a share of 200.
 */
import { describe, expect, it } from 'vitest';
import { calibration, overconfidence } from '../../shared/drills/calibration.ts';
import { replay } from '../../shared/drills/cards.ts';
import { forecast, type Forgetting, forgetting } from '../../shared/drills/forgetting.ts';
import {
  baselineOf,
  bySection,
  gapToRich,
  intervalOf,
  overTime,
  POINT_ANSWERS,
  trainedOn,
} from '../../shared/drills/progress.ts';
import { seeded } from '../../shared/drills/random.ts';
import { type Interval, meanOf } from '../../shared/drills/statistics.ts';
import { type AnswerRecord, SECTION_KINDS } from '../../shared/drills/types.ts';
import { DECK, type Learner, type Life, live, medianBars } from './learner.ts';

const LEARNERS = 200;
const LEAST_COVERAGE = 0.9;
const DAYS = 30;

const holds = ({ low, high }: { low: number; high: number }, truth: number) =>
  low - 1e-9 <= truth && truth <= high + 1e-9;

/** How often intervals hold the truth, and how wide they are. */
class Coverage {
  held = 0;
  count = 0;
  width = 0;
  add(interval: Interval | null, truth: number): void {
    if (!interval) throw new Error('There is no estimate.');
    this.count++;
    this.held += Number(holds(interval, truth));
    this.width += interval.high - interval.low;
  }
  get share(): number {
    return this.held / this.count;
  }
  toString(): string {
    return `${(100 * this.share).toFixed(1)} % of ${this.count}, mean width ${(this.width / this.count).toFixed(3)}`;
  }
}

/** The same answers with their expected values in place of what was drawn. */
function expected(records: readonly AnswerRecord[], { truths }: Life): AnswerRecord[] {
  return records.map((record) => {
    const truth = truths.get(record);
    if (!truth) throw new Error('No truth is known of this answer.');
    return { ...record, errorBars: truth.bars, correct: truth.correct };
  });
}

const trueMiss = (records: readonly AnswerRecord[], life: Life): number =>
  meanOf(expected(records, life).map(({ correct }) => 1 - correct));

/** What an estimate of this measure is about: the mean miss, or the median error of those who point. */
function truthOf(records: readonly AnswerRecord[], life: Life, measure: 'miss' | 'bars'): number {
  if (measure === 'miss') return trueMiss(records, life);
  return medianBars(
    meanOf(records.filter((r) => r.errorBars !== null).map((r) => life.truths.get(r)?.hit ?? NaN)),
  );
}

const random = seeded(20_261_125);
const between = (low: number, high: number) => low + (high - low) * random();
const lives: { learner: Learner; life: Life; forgets: Forgetting | null }[] = Array.from(
  { length: LEARNERS },
  () => {
    const learner = {
      fresh: between(0.6, 0.97),
      freshRich: between(0.85, 0.99),
      pace: Math.exp(between(Math.log(0.3), Math.log(6))),
      boast: between(-0.2, 0.2),
    };
    const life = live(learner, DAYS, random);
    return { learner, life, forgets: forgetting(life.records) };
  },
);

describe('200 simulated learners', () => {
  it('train enough for every estimate', () => {
    for (const { life } of lives) {
      expect(trainedOn(life.records, DECK).length).toBeGreaterThan(150);
      expect(baselineOf(life.records, DECK).length).toBeGreaterThan(30);
    }
  });

  for (const measure of ['miss', 'bars'] as const) {
    it(`error on the deck and on the richest display: ${measure}`, () => {
      const [deck, rich, points] = [new Coverage(), new Coverage(), new Coverage()];
      for (const { life } of lives) {
        const here = trainedOn(life.records, DECK);
        const there = baselineOf(life.records, DECK);
        deck.add(intervalOf(here, measure), truthOf(here, life, measure));
        rich.add(intervalOf(there, measure), truthOf(there, life, measure));
        const usable = here.filter((r) => measure === 'miss' || r.errorBars !== null);
        const curve = overTime(here, measure);
        curve.forEach((point, i) => {
          const end = i === curve.length - 1 ? undefined : (i + 1) * POINT_ANSWERS;
          const part = usable.slice(i * POINT_ANSWERS, end);
          expect(point.count).toBe(part.length);
          points.add(point, truthOf(part, life, measure));
        });
      }
      console.log(`${measure}: deck ${deck}; richest ${rich}; points over time ${points}`);
      expect(deck.share).toBeGreaterThanOrEqual(LEAST_COVERAGE);
      expect(points.share).toBeGreaterThanOrEqual(LEAST_COVERAGE);
      expect(rich.share).toBeGreaterThanOrEqual(LEAST_COVERAGE);
      // Not by being so wide that it says nothing.
      expect(deck.width / deck.count).toBeLessThan(measure === 'miss' ? 0.2 : 0.5);
    });

    it(`gap to the richest display: ${measure}`, () => {
      const gaps = new Coverage();
      for (const { life } of lives) {
        const truth = gapToRich(expected(life.records, life), DECK, measure);
        gaps.add(gapToRich(life.records, DECK, measure), truth?.value ?? NaN);
      }
      console.log(`gap in ${measure}: ${gaps}`);
      expect(gaps.share).toBeGreaterThanOrEqual(LEAST_COVERAGE);
      expect(gaps.width / gaps.count).toBeLessThan(measure === 'miss' ? 0.35 : 4);
    });
  }

  it('forgetting: freshness and pace', () => {
    const [fresh, pace, order] = [new Coverage(), new Coverage(), [] as [number, number][]];
    for (const { learner, forgets: found } of lives) {
      fresh.add(found?.fresh ?? null, learner.fresh);
      pace.add(found?.pace ?? null, learner.pace);
      order.push([learner.pace, found?.pace.value ?? NaN]);
    }
    const [slow, fast] = [order.filter(([p]) => p < 0.8), order.filter(([p]) => p > 2.5)];
    const middle = (list: typeof order) => list.map(([, p]) => p).sort((a, b) => a - b)[list.length >> 1];
    console.log(
      `freshness ${fresh}; pace ${pace}; median pace of the slow ${middle(slow)}, fast ${middle(fast)}`,
    );
    expect(fresh.share).toBeGreaterThanOrEqual(LEAST_COVERAGE);
    expect(pace.share).toBeGreaterThanOrEqual(LEAST_COVERAGE);
    expect(fresh.width / fresh.count).toBeLessThan(0.5);
    expect(middle(fast)).toBeGreaterThan(2 * middle(slow));
  });

  it('forecast: what is left after a pause lies within its band', () => {
    let held = 0;
    for (const { learner, life, forgets } of lives) {
      const { cards } = replay(life.records);
      const list = [...cards.values()];
      const band = forecast(list, forgets?.pace ?? null, life.now, 14);
      const exact = forecast(list, { value: learner.pace, low: 1, high: 1, count: 1 }, life.now, 14);
      held += Number(holds(band[14], exact[14].value));
      band.forEach((day, i) => {
        if (i) expect(day.value).toBeLessThanOrEqual(band[i - 1].value + 1e-12);
        expect(holds(day, day.value)).toBe(true);
      });
    }
    expect(held / LEARNERS).toBeGreaterThanOrEqual(LEAST_COVERAGE);
  });

  it('calibration: hit rate by confidence, and over- or underconfidence', () => {
    const [bins, boast] = [new Coverage(), new Coverage()];
    for (const { life } of lives) {
      const trained = trainedOn(life.records, DECK);
      const hits = (records: readonly AnswerRecord[]) =>
        meanOf(records.map((record) => life.truths.get(record)?.hit ?? NaN));
      for (const bin of calibration(trained)) {
        const last = bin.to === 1;
        const inBin = trained.filter((r) => r.confidence >= bin.from && (r.confidence < bin.to || last));
        bins.add(bin, hits(inBin));
      }
      const surer = meanOf(trained.map(({ confidence }) => confidence)) - hits(trained);
      boast.add(overconfidence(trained), surer);
    }
    console.log(`calibration bins ${bins}; overconfidence ${boast}`);
    expect(bins.share).toBeGreaterThanOrEqual(LEAST_COVERAGE);
    expect(boast.share).toBeGreaterThanOrEqual(LEAST_COVERAGE);
  });

  it('sections: the truth of each kind lies in its interval, drawn in by what is not known', () => {
    const sections = new Coverage();
    let plainError = 0;
    let error = 0;
    for (const { life } of lives) {
      const trained = trainedOn(life.records, DECK);
      // A week in, when little is known and shrinking matters.
      const first = trained.slice(0, 60);
      for (const estimate of bySection(first, DECK)) {
        const ofKind = first.filter(({ section }) => section === estimate.section);
        const truth = trueMiss(ofKind, life);
        sections.add(estimate, truth);
        plainError += (estimate.plain - truth) ** 2;
        error += (estimate.value - truth) ** 2;
      }
    }
    console.log(`sections ${sections}; squared error ${(error / plainError).toFixed(2)} of the plain means'`);
    expect(sections.share).toBeGreaterThanOrEqual(LEAST_COVERAGE);
    expect(error).toBeLessThan(plainError);
  });

  it('sections that truly differ: by much, by little or not at all', () => {
    for (const spread of [0, 0.1, 0.25]) {
      const sections = new Coverage();
      let right = 0;
      for (let i = 0; i < LEARNERS; i++) {
        const [template] = lives[i].life.records;
        const misses = SECTION_KINDS.map((_, n) => 0.35 + spread * (n / 2.5 - 1));
        const records = SECTION_KINDS.flatMap((section, n) =>
          Array.from({ length: 16 }, (): AnswerRecord => {
            const correct = random() < misses[n] ? 0 : 1;
            return { ...template, deckId: DECK, baseline: false, section, correct };
          }),
        );
        const found = bySection(records, DECK);
        for (const each of found) sections.add(each, misses[SECTION_KINDS.indexOf(each.section)]);
        right += Number(SECTION_KINDS.indexOf(found[0].section) < SECTION_KINDS.indexOf(found[5].section));
      }
      console.log(`sections ±${spread}: ${sections}; best before worst in ${right} of ${LEARNERS}`);
      expect(sections.share).toBeGreaterThanOrEqual(LEAST_COVERAGE);
      if (spread > 0.2) expect(right).toBeGreaterThan(0.9 * LEARNERS);
    }
  });
});
