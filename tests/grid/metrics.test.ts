/** The measures against the definitions of Davies, Degara and Plumbley 2009 (see metrics.ts). */
import { describe, expect, it } from 'vitest';
import { allowedLevels, amlt, cmlt, continuity, fMeasure, worstDeviation } from './metrics.ts';

const steady = (count: number, interval = 0.5, from = 1) =>
  Array.from({ length: count }, (_, i) => from + i * interval);

describe('F-measure', () => {
  it('is 1 for the annotations themselves and 0 for nothing', () => {
    const a = steady(20);
    expect(fMeasure(a, a)).toBe(1);
    expect(fMeasure(a, [])).toBe(0);
  });

  it('takes beats within 70 ms and no others', () => {
    const a = steady(20);
    expect(
      fMeasure(
        a,
        a.map((t) => t + 0.069),
      ),
    ).toBe(1);
    expect(
      fMeasure(
        a,
        a.map((t) => t + 0.071),
      ),
    ).toBe(0);
  });

  it('is 2/3 at double or half tempo: 2c / (2c + f+ + f-)', () => {
    const a = steady(20);
    expect(fMeasure(a, steady(40, 0.25))).toBeCloseTo(40 / 60, 10);
    expect(fMeasure(a, steady(10, 1))).toBeCloseTo(20 / 30, 10);
  });

  it('pairs each annotation once', () => {
    expect(fMeasure([1], [0.96, 1, 1.04])).toBeCloseTo(2 / 4, 10);
  });
});

describe('continuity', () => {
  it('takes beats within 17.5 % of the interval', () => {
    const a = steady(20);
    expect(
      cmlt(
        a,
        a.map((t) => t + 0.17 * 0.5),
      ),
    ).toBe(1);
    expect(
      cmlt(
        a,
        a.map((t) => t + 0.18 * 0.5),
      ),
    ).toBe(0);
  });

  it('is 0 on the off-beat and at double tempo at the annotated level', () => {
    const a = steady(20);
    expect(
      cmlt(
        a,
        a.map((t) => t + 0.25),
      ),
    ).toBe(0);
    expect(cmlt(a, steady(40, 0.25))).toBe(0);
    expect(cmlt(a, steady(10, 1))).toBe(0);
  });

  it('counts the longest run apart from all correct beats', () => {
    // One beat of 21 is 40 % of an interval late: it and the next one are wrong.
    const a = steady(21);
    const beats = a.map((t, i) => (i === 10 ? t + 0.2 : t));
    const { c, t } = continuity(a, beats);
    expect(t).toBeCloseTo(19 / 21, 10);
    expect(c).toBeCloseTo(10 / 21, 10);
  });

  it('divides by the longer of the two lists', () => {
    const a = steady(20);
    expect(cmlt(a, a.slice(0, 15))).toBeCloseTo(15 / 20, 10);
    expect(cmlt(a.slice(0, 15), a)).toBeLessThan(1);
  });

  it('asks for the right interval as well as the right place', () => {
    // Intervals of 0.6 and 0.4 in turn: each beat is within 17.5 %, each interval 20 % off.
    const a = steady(20);
    const beats = a.map((t, i) => (i % 2 ? t + 0.05 : t - 0.05));
    expect(cmlt(a, beats)).toBe(0);
    expect(fMeasure(a, beats)).toBe(1);
  });
});

describe('allowed levels', () => {
  it('lists the annotated level, the off-beat, double, and half from either beat', () => {
    expect(allowedLevels([0, 1, 2, 3])).toEqual([
      [0, 1, 2, 3],
      [0.5, 1.5, 2.5],
      [0, 0.5, 1, 1.5, 2, 2.5, 3],
      [0, 2],
      [1, 3],
    ]);
  });

  it('forgives them in AMLt but not other ratios', () => {
    const a = steady(40);
    expect(amlt(a, steady(79, 0.25))).toBe(1);
    expect(amlt(a, steady(20, 1))).toBe(1);
    expect(amlt(a, steady(20, 1, 1.5))).toBe(1);
    expect(amlt(a, steady(39, 0.5, 1.25))).toBe(1);
    expect(amlt(a, steady(30, 0.75))).toBeLessThan(0.1);
  });
});

describe('worst deviation', () => {
  it('is the largest distance of an annotation from its nearest beat', () => {
    expect(worstDeviation([1, 2, 3], [1.001, 1.998, 3.004])).toBeCloseTo(0.004, 10);
    expect(worstDeviation([1], [])).toBe(Infinity);
  });
});
