/** The mapping of levels to heights and of band balance to colours. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bandBalance,
  colourStep,
  heightOfLevel,
  loudnessOf,
  trebleShare,
} from '../../shared/display/heights.ts';

const level = fc.double({ min: 0, max: 1, noNaN: true });
const db = (value: number) => 10 ** (value / 20);

describe('the height of a level', () => {
  // The sone: loudness doubles with every 10 dB (ISO 131; Stevens 1955).
  it('halves with every 10 dB', () => {
    for (const value of [0, -10, -20, -30, -40]) {
      expect(loudnessOf(db(value - 10)) / loudnessOf(db(value))).toBeCloseTo(0.5, 1);
    }
  });

  it('is full for a full-scale sine, none for silence, and never more than full', () => {
    expect(heightOfLevel(1, Math.SQRT1_2, 48)).toBe(48);
    expect(heightOfLevel(0, 0, 48)).toBe(0);
    expect(heightOfLevel(1.7, 1, 48)).toBe(48);
  });

  it('of a −20 dBFS sine is a quarter of the full one', () => {
    expect(heightOfLevel(db(-20), db(-20) * Math.SQRT1_2, 100)).toBe(25);
  });

  it('is a whole number of steps and never falls when a level rises', () => {
    fc.assert(
      fc.property(level, level, level, fc.integer({ min: 1, max: 512 }), (a, b, other, steps) => {
        const [low, high] = a < b ? [a, b] : [b, a];
        for (const height of [heightOfLevel(low, other, steps), heightOfLevel(high, other, steps)]) {
          expect(Number.isInteger(height) && height >= 0 && height <= steps).toBe(true);
        }
        expect(heightOfLevel(high, other, steps)).toBeGreaterThanOrEqual(heightOfLevel(low, other, steps));
        expect(heightOfLevel(other, high, steps)).toBeGreaterThanOrEqual(heightOfLevel(other, low, steps));
      }),
    );
  });
});

describe('the colour of a column', () => {
  it('runs from bass by way of the middle to treble', () => {
    expect(bandBalance(1, 0, 0)).toBe(0);
    expect(bandBalance(0, 0.3, 0)).toBe(0.5);
    expect(bandBalance(0, 0, 0.01)).toBe(1);
    expect(bandBalance(0.5, 0, 0.5)).toBe(0.5);
    expect(bandBalance(0, 0, 0)).toBe(0);
  });

  it('does not depend on how loud the column is, but for the rounding of the table', () => {
    for (const share of [bandBalance, trebleShare]) {
      expect(share(0.2, 0.1, 0.05)).toBeCloseTo(share(0.8, 0.4, 0.2), 2);
    }
  });

  it('is the share of treble for a single colour', () => {
    expect(trebleShare(0, 0, 0.4)).toBe(1);
    expect(trebleShare(0.4, 0.4, 0)).toBe(0);
    expect(trebleShare(0.4, 0.4, 0.4)).toBeCloseTo(1 / 3, 6);
    expect(trebleShare(0, 0, 0)).toBe(0);
  });

  it('falls into one of the steps, both ends among them', () => {
    expect([0, 0.24, 0.25, 0.5, 0.99, 1].map((share) => colourStep(share, 4))).toEqual([0, 0, 1, 2, 3, 3]);
    expect(colourStep(1, 1)).toBe(0);
  });
});
