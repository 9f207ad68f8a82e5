import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { gradeOf, hitSeconds, judge, QUICK_SECONDS, SLOW_SECONDS } from '../../shared/drills/judge.ts';
import type { Answer, Ask, Held, Response } from '../../shared/drills/types.ts';

const item = (answer: Answer, ask: Ask, changes: Partial<Held> = {}) => ({
  shown: { ask },
  held: {
    answer,
    trackId: 't',
    time: 0,
    barSeconds: 2,
    beatSeconds: 0.5,
    columnSeconds: 0.25,
    chance: 0.02,
    options: [],
    offsetBeats: null,
    view: 'overview' as const,
    ...changes,
  },
});
const pointing = (changes: Partial<Held> = {}) =>
  item({ type: 'time', time: 100 }, { by: 'pointing' }, changes);
const say = (value: number, changes: Partial<Response> = {}): Response => ({
  value,
  seconds: 4,
  confidence: 0.9,
  ...changes,
});

describe('judging', () => {
  it('pointing: error in bars and milliseconds, early below 0', () => {
    const early = judge(pointing(), say(97));
    expect(early).toMatchObject({ errorBars: -1.5, errorMs: -3000, hit: false, grade: 1 });
    // From 1 at half a bar to 0 at eight.
    expect(early.correct).toBeCloseTo((8 - 1.5) / 7.5, 12);
    expect(judge(pointing(), say(102))).toMatchObject({ errorBars: 1, hit: true });
    expect(judge(pointing(), say(100.9)).correct).toBe(1);
    expect(judge(pointing(), say(130)).correct).toBe(0);
  });

  it('pointing is not asked to be finer than the display', () => {
    // Columns of 4 s are two bars each.
    const coarse = pointing({ columnSeconds: 4 });
    expect(judge(coarse, say(104)).correct).toBe(1);
    expect(judge(coarse, say(105.9)).hit).toBe(true);
    expect(judge(coarse, say(106.1)).hit).toBe(false);
    expect(judge(pointing(), say(104)).hit).toBe(false);
  });

  it('counted bars are right or not, and nearly right is worth something', () => {
    const bars = item({ type: 'bars', bars: 4 }, { by: 'number', from: 1, to: 8 });
    expect(judge(bars, say(4))).toMatchObject({ correct: 1, hit: true, errorBars: 0, errorMs: 0 });
    expect(judge(bars, say(5))).toMatchObject({ correct: 0.5, hit: false, errorBars: 1, errorMs: 2000 });
    expect(judge(bars, say(1))).toMatchObject({ correct: 0, errorBars: -3 });
  });

  it('a time that is read off', () => {
    const time = item({ type: 'time', time: 100 }, { by: 'time', to: 300 });
    expect(judge(time, say(102.9))).toMatchObject({ hit: true });
    expect(judge(time, say(103.1))).toMatchObject({ hit: false });
    expect(judge(time, say(131)).correct).toBe(0);
  });

  it('choices have no error in bars', () => {
    const choice = item({ type: 'choice', index: 2 }, { by: 'strip', count: 4 });
    expect(judge(choice, say(2))).toMatchObject({ correct: 1, hit: true, errorBars: null, errorMs: null });
    expect(judge(choice, say(1))).toMatchObject({ correct: 0, hit: false, grade: 1 });
  });

  it('grades: again, hard, good and easy', () => {
    const base = { correct: 1, hit: true, responseSeconds: 10, confidence: 0.7, chance: 0.25 };
    expect(gradeOf({ ...base, hit: false })).toBe(1);
    expect(gradeOf({ ...base, confidence: 0.3 })).toBe(2);
    expect(gradeOf({ ...base, responseSeconds: SLOW_SECONDS })).toBe(2);
    expect(gradeOf(base)).toBe(3);
    expect(gradeOf({ ...base, responseSeconds: QUICK_SECONDS, confidence: 0.9 })).toBe(4);
    expect(gradeOf({ ...base, responseSeconds: QUICK_SECONDS, confidence: 0.9, correct: 0.95 })).toBe(3);
  });

  it('a larger error is never worth more', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 10, noNaN: true }),
        fc.double({ min: 0, max: 200, noNaN: true }),
        fc.double({ min: 0, max: 200, noNaN: true }),
        (columnSeconds, a, b) => {
          const [near, far] = [Math.min(a, b), Math.max(a, b)];
          const score = (error: number) => judge(pointing({ columnSeconds }), say(100 + error));
          expect(score(near).correct).toBeGreaterThanOrEqual(score(far).correct);
          expect(score(near).hit || !score(far).hit).toBe(true);
          expect(score(far).correct).toBeGreaterThanOrEqual(0);
          expect(score(near).correct).toBeLessThanOrEqual(1);
          expect(score(near).hit).toBe(near <= hitSeconds('pointing', { barSeconds: 2, columnSeconds }));
        },
      ),
    );
  });

  it('refuses what is no answer', () => {
    expect(() => judge(pointing(), say(NaN))).toThrow(RangeError);
    expect(() => judge(pointing(), say(1, { seconds: -1 }))).toThrow(RangeError);
    expect(() => judge(pointing(), say(1, { confidence: 1.1 }))).toThrow(RangeError);
  });
});
