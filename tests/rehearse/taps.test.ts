/** The person's own measure: worked examples, and what holds for all taps. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LEAST_TAPS, MOST_SPREAD, TAP_BEAT, tapOffset } from '../../src/rehearse/taps.ts';
import { pressOffset } from '../../src/train/hands/click-choice.ts';

const beats = (count: number, off: (i: number) => number) =>
  Array.from({ length: count }, (_, i) => 10 + i * TAP_BEAT + off(i));

describe('taps beside the beat', () => {
  it('are late by their median, whatever one of them does', () => {
    const taps = beats(9, (i) => (i === 4 ? 0.25 : 0.04));
    expect(tapOffset(taps, 10)).toMatchObject({ offset: expect.closeTo(0.04, 9) as number });
  });

  it('may come early, and may leave beats out', () => {
    const taps = beats(12, () => -0.03).filter((_, i) => i !== 5 && i !== 6);
    const result = tapOffset(taps, 10);
    expect(result).toMatchObject({ offset: expect.closeTo(-0.03, 9) as number });
  });

  it('tell nothing where they are few, or all over the place', () => {
    expect(
      tapOffset(
        beats(LEAST_TAPS - 1, () => 0),
        10,
      ),
    ).toBe('too-few');
    expect(
      tapOffset(
        beats(16, (i) => ((i * 7) % 16) / 30 - 0.25),
        10,
      ),
    ).toBe('uneven');
  });

  it('are found whatever the delay and the tremor, as near as the tremor lets them', () => {
    const tremor = fc.array(fc.double({ min: -0.02, max: 0.02, noNaN: true }), {
      minLength: 8,
      maxLength: 40,
    });
    fc.assert(
      fc.property(fc.double({ min: -0.2, max: 0.2, noNaN: true }), tremor, (delay, shakes) => {
        const result = tapOffset(
          beats(shakes.length, (i) => delay + shakes[i]),
          10,
        );
        expect(result).toBeTypeOf('object');
        if (typeof result !== 'object') return;
        expect(Math.abs(result.offset - delay)).toBeLessThanOrEqual(0.02 + 1e-9);
        expect(result.spread).toBeLessThanOrEqual(MOST_SPREAD);
      }),
    );
  });
});

describe('what a drill takes off a press', () => {
  const tapOffset = { ear: 0.12, eye: 0.03 };
  it('is the measure by ear where it clicks, else by eye, in ms', () => {
    expect(pressOffset({ on: true, tapOffset })).toBeCloseTo(120, 9);
    expect(pressOffset({ on: false, tapOffset })).toBeCloseTo(30, 9);
    expect(pressOffset({ on: true, tapOffset: { ear: null, eye: 0.03 } })).toBe(0);
  });
});
