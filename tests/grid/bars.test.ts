import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barAndBeat, isDownbeat } from '../../shared/grid/grid.ts';
import { constantGrid } from '../display/tracks.ts';

describe('bar and beat', () => {
  it('of worked examples', () => {
    const four = constantGrid(128, 60);
    expect(barAndBeat(four, 0)).toEqual({ bar: 1, beat: 1 });
    expect(barAndBeat(four, 66)).toEqual({ bar: 17, beat: 3 });
    // The grid begins on the third beat of a bar: beats 2 and 3 begin and follow bar two.
    const upbeat = constantGrid(128, 60, { firstBeatInBar: 2 });
    expect(barAndBeat(upbeat, 0)).toEqual({ bar: 1, beat: 3 });
    expect(barAndBeat(upbeat, 2)).toEqual({ bar: 2, beat: 1 });
    expect(barAndBeat(four, -1)).toEqual({ bar: 0, beat: 4 });
  });

  it('counts every beat once, and beat one is a downbeat', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -500, max: 500 }),
        fc.integer({ min: 1, max: 7 }),
        fc.nat(6),
        (n, per, first) => {
          const grid = constantGrid(100, 60, { beatsPerBar: per, firstBeatInBar: first % per });
          const { bar, beat } = barAndBeat(grid, n);
          expect((bar - 1) * per + beat - 1 - (first % per)).toBe(n);
          expect(beat).toBeGreaterThanOrEqual(1);
          expect(beat).toBeLessThanOrEqual(per);
          expect(beat === 1).toBe(isDownbeat(grid, n));
        },
      ),
    );
  });
});
