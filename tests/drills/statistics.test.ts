import { describe, expect, it } from 'vitest';
import { calibration, overconfidence } from '../../shared/drills/calibration.ts';
import { answersCsv } from '../../shared/drills/csv.ts';
import { forecast, forgetting } from '../../shared/drills/forgetting.ts';
import { bySection, gapToRich, intervalOf, LEAST_ANSWERS, overTime } from '../../shared/drills/progress.ts';
import {
  incompleteBeta,
  meanInterval,
  medianInterval,
  shareInterval,
  tQuantile,
} from '../../shared/drills/statistics.ts';
import type { AnswerRecord } from '../../shared/drills/types.ts';
import { rowsOf } from '../../shared/exchange/csv/rows.ts';

const record = (changes: Partial<AnswerRecord> = {}): AnswerRecord => ({
  at: Date.UTC(2026, 2, 1),
  key: 'poor/find-drop/drop',
  drill: 'find-drop',
  section: 'drop',
  deckId: 'poor',
  shownDeckId: 'poor',
  baseline: false,
  trackId: 't',
  errorBars: 0.5,
  errorMs: 1000,
  correct: 1,
  hit: true,
  chance: 0.02,
  responseSeconds: 5,
  confidence: 0.9,
  grade: 3,
  ...changes,
});

describe('intervals against published figures', () => {
  // Critical values of Student's t, two-sided 5 %, as printed in the NIST/SEMATECH e-Handbook, 1.3.6.7.2; from memory.
  it.each([
    [1, 12.706],
    [2, 4.303],
    [5, 2.571],
    [10, 2.228],
    [30, 2.042],
    [100, 1.984],
    [1e6, 1.96],
  ])('Student’s t with %d degrees of freedom', (freedom, value) => {
    expect(tQuantile(freedom)).toBeCloseTo(value, 3);
  });

  it('the beta function where it is known exactly', () => {
    for (const x of [0.05, 0.3, 0.5, 0.9]) {
      expect(incompleteBeta(x, 1, 1)).toBeCloseTo(x, 12);
      expect(incompleteBeta(x, 2, 1)).toBeCloseTo(x * x, 12);
      expect(incompleteBeta(x, 0.5, 0.5)).toBeCloseTo((2 / Math.PI) * Math.asin(Math.sqrt(x)), 10);
      expect(incompleteBeta(x, 3, 7) + incompleteBeta(1 - x, 7, 3)).toBeCloseTo(1, 12);
    }
  });

  it('Wilson’s interval: 0 of 20 goes to 0.161, 10 of 20 is 0.299 to 0.701', () => {
    // By hand from the formula: z²/(n+z²) for no hits.
    expect(shareInterval(0, 20).low).toBe(0);
    expect(shareInterval(0, 20).high).toBeCloseTo(3.8415 / 23.8415, 4);
    expect(shareInterval(10, 20).low).toBeCloseTo(0.2993, 4);
    expect(shareInterval(10, 20).high).toBeCloseTo(0.7007, 4);
    expect(shareInterval(0, 0)).toMatchObject({ low: 0, high: 1 });
  });

  it('the median’s: of 10 values from the 2nd to the 9th, of 20 from the 6th to the 15th', () => {
    const values = (n: number) => Array.from({ length: n }, (_, i) => i + 1);
    expect(medianInterval(values(10))).toEqual({ value: 5.5, low: 2, high: 9, count: 10 });
    expect(medianInterval(values(20))).toMatchObject({ low: 6, high: 15 });
    expect(medianInterval(values(5))).toBeNull();
    expect(medianInterval(values(6))).toMatchObject({ low: 1, high: 6 });
  });

  it('a mean of 1 to 5', () => {
    const half = 2.776 * Math.sqrt(2.5 / 5);
    expect(meanInterval([1, 2, 3, 4, 5])?.high).toBeCloseTo(3 + half, 3);
    expect(meanInterval([1])).toBeNull();
  });
});

describe('estimates say nothing before they know enough', () => {
  const many = (n: number, changes: Partial<AnswerRecord> = {}) =>
    Array.from({ length: n }, (_, i) => record({ at: i * 1000, correct: i % 2, hit: i % 2 > 0, ...changes }));

  it('no point, gap, section or forgetting from a few answers', () => {
    const few = many(LEAST_ANSWERS - 1);
    expect(overTime(few, 'miss')).toEqual([]);
    expect(intervalOf(few, 'bars')).toBeNull();
    expect(gapToRich([...many(50), ...many(3, { baseline: true })], 'poor', 'miss')).toBeNull();
    expect(bySection([...many(40), ...many(3, { section: 'intro' })], 'poor')).toEqual([]);
    expect(forgetting(many(20))).toBeNull();
    expect(forecast([], null, 0)).toEqual([]);
    expect(overconfidence([])).toBeNull();
    expect(calibration([])).toEqual([]);
  });

  it('all right is no certainty', () => {
    const right = many(12, { correct: 1, hit: true });
    expect(intervalOf(right, 'miss')?.value).toBe(0);
    expect(intervalOf(right, 'miss')?.high).toBeGreaterThan(0.2);
  });

  it('a point for every twelve answers, the rest with the last', () => {
    expect(overTime(many(29), 'miss').map(({ count }) => count)).toEqual([12, 17]);
    const points = overTime(many(24), 'miss');
    expect(points.map(({ at }) => at)).toEqual([5500, 17500]);
  });

  it('compares only drills that were asked on both displays', () => {
    const bass = { drill: 'bass-here' as const, correct: 0 };
    const records = [...many(20), ...many(20, bass), ...many(10, { baseline: true })];
    // Half right on either: what was never asked on the richest does not count.
    expect(gapToRich(records, 'poor', 'miss')?.value).toBeCloseTo(0, 12);
  });

  it('orders sections from the best read to the worst', () => {
    const sections = [
      ...many(40, { section: 'drop', correct: 1 }),
      ...many(40, { section: 'outro' }),
      ...many(40, { section: 'intro', correct: 0 }),
    ];
    const found = bySection(sections, 'poor');
    expect(found.map(({ section }) => section)).toEqual(['drop', 'outro', 'intro']);
    expect(found[2].value).toBeLessThan(found[2].plain);
    expect(found[0].value).toBeGreaterThan(found[0].plain);
  });

  it('confidence of 1 is in the last bin', () => {
    const bins = calibration([
      record({ confidence: 1 }),
      record({ confidence: 0 }),
      record({ confidence: 0.2 }),
    ]);
    expect(bins.map(({ from, count }) => [from, count])).toEqual([
      [0, 1],
      [0.2, 1],
      [0.8, 1],
    ]);
  });
});

describe('answers as CSV', () => {
  it('is read back field by field, quotes and all', () => {
    const text = answersCsv([
      record({ trackId: 'a,"b"\r\nc' }),
      record({ errorBars: -1.25, errorMs: null, trackId: '=1+1', baseline: true }),
    ]);
    expect(text.endsWith('\r\n')).toBe(true);
    const rows = rowsOf(text, ',');
    if (!Array.isArray(rows)) throw new Error(rows.sentence);
    const [head, ...lines] = rows.map(({ fields }) => fields);
    const field = (line: string[], name: string) => line[head.indexOf(name)];
    expect(lines).toHaveLength(2);
    expect(new Set(head).size).toBe(head.length);
    expect(field(lines[0], 'time')).toBe('2026-03-01T00:00:00.000Z');
    expect(field(lines[0], 'track')).toBe('a,"b"\r\nc');
    expect(field(lines[1], 'error_bars')).toBe('-1.25');
    expect(field(lines[1], 'error_ms')).toBe('');
    expect(field(lines[1], 'baseline')).toBe('true');
    expect(field(lines[1], 'track')).toBe("'=1+1");
  });
});
