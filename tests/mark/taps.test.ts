import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { addTap, setFromTaps, tapTempo } from '../../shared/grid/edit-taps.ts';
import { GridEditFault } from '../../shared/grid/edit-model.ts';
import { beatAtTime, isDownbeat, noGrid, timeOfBeat } from '../../shared/grid/grid.ts';
import { Random } from '../grid/random.ts';
import { DURATION, grid } from './grids.ts';

const taps = (bpm: number, count: number, start = 10) =>
  Array.from({ length: count }, (_, i) => start + (i * 60) / bpm);

describe('tapping along', () => {
  test('even taps give their tempo and place exactly, also where some were left out', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 40, max: 220, noNaN: true }),
        fc.integer({ min: 6, max: 30 }),
        fc.integer({ min: 2, max: 28 }),
        (bpm, count, missed) => {
          const all = taps(bpm, count);
          const tapped = all.filter((_, i) => i === 0 || i !== missed);
          const found = tapTempo(tapped)!;
          expect(found.bpm).toBeCloseTo(bpm, 6);
          expect(found.time).toBeCloseTo(10, 6);
          expect(found.bpmError).toBeLessThan(1e-6);
          expect(found.taps).toBe(tapped.length);
        },
      ),
    );
  });

  test('says how sure it is: the interval holds the truth about as often as it claims', () => {
    const source = new Random(7);
    const next = () => source.next();
    const gauss = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
    for (const count of [4, 8, 16, 32]) {
      let held = 0;
      const runs = 800;
      for (let run = 0; run < runs; run++) {
        const found = tapTempo(taps(124, count).map((t) => t + gauss() * 0.015));
        if (found && Math.abs(found.bpm - 124) <= found.bpmError) held++;
      }
      // 95 % wanted; 800 runs leave ±1.5 % at two standard errors.
      expect(held / runs).toBeGreaterThan(0.93);
      expect(held / runs).toBeLessThan(0.975);
    }
  });

  test('more taps are surer', () => {
    const wobble = (t: number, i: number) => t + (i % 2 ? 0.01 : -0.01);
    const few = tapTempo(taps(124, 6).map(wobble))!;
    const many = tapTempo(taps(124, 24).map(wobble))!;
    expect(many.bpmError).toBeLessThan(few.bpmError / 3);
  });

  test('fewer than four say nothing', () => {
    expect(tapTempo(taps(124, 3))).toBeNull();
    expect(() => setFromTaps(grid(), taps(124, 3))).toThrow(GridEditFault);
  });

  test('a pause or a step back in the track begins anew', () => {
    const run = taps(120, 5);
    expect(addTap(run, run[4] + 0.5)).toHaveLength(6);
    expect(addTap(run, run[4] + 3)).toEqual([run[4] + 3]);
    expect(addTap(run, 2)).toEqual([2]);
    expect(addTap([], 2)).toEqual([2]);
    expect(addTap([2], 2.4)).toEqual([2, 2.4]);
  });

  test('the grid takes tempo and place of the taps and keeps counting bars from there', () => {
    const g = grid();
    // Tapped 20 ms late, from the beat nearest to 10 s on.
    const beat = Math.round(beatAtTime(g, 10));
    const tapped = taps(124, 12, timeOfBeat(g, beat) + 0.02);
    const set = setFromTaps(g, tapped);
    expect(set.segments[0].bpm).toBeCloseTo(124, 6);
    const now = beatAtTime(set, tapped[0]);
    expect(Math.abs(now - Math.round(now))).toBeLessThan(1e-6);
    expect(isDownbeat(set, Math.round(now))).toBe(isDownbeat(g, beat));
  });

  test('a track without a grid gets its beat one at the first tap', () => {
    const set = setFromTaps(noGrid(DURATION), taps(90, 8));
    const now = beatAtTime(set, 10);
    expect(isDownbeat(set, Math.round(now))).toBe(true);
  });
});
