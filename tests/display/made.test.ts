import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Made } from '../../shared/display/made.ts';

describe('what was made', () => {
  it('is made once, in order, and all of what is asked for', () => {
    const stretch = fc.tuple(fc.nat(40), fc.nat(12));
    fc.assert(
      fc.property(fc.array(stretch, { maxLength: 20 }), (asked) => {
        const made = new Made();
        const times = new Array<number>(60).fill(0);
        for (const [from, length] of asked) {
          let at = from;
          made.fill(from, from + length, (start, end) => {
            expect(start).toBeGreaterThanOrEqual(at);
            expect(end).toBeGreaterThan(start);
            expect(end).toBeLessThanOrEqual(from + length);
            for (let i = start; i < end; i++) times[i]++;
            at = end;
          });
          expect(times.slice(from, from + length)).toEqual(new Array(length).fill(1));
        }
        // Nothing was made that nobody asked for.
        const wanted = times.map((_, i) => Number(asked.some(([from, n]) => i >= from && i < from + n)));
        expect(times).toEqual(wanted);
      }),
    );
  });

  it('is asked for in one stretch where only its middle is there', () => {
    const made = new Made();
    const calls: number[][] = [];
    const make = (from: number, to: number) => calls.push([from, to]);
    made.fill(10, 20, make);
    made.fill(30, 40, make);
    made.fill(5, 45, make);
    made.fill(0, 50, make);
    expect(calls).toEqual([
      [10, 20],
      [30, 40],
      [5, 10],
      [20, 30],
      [40, 45],
      [0, 5],
      [45, 50],
    ]);
  });

  it('is nothing where nothing is asked for', () => {
    const made = new Made();
    made.fill(7, 7, () => expect.unreachable());
    made.fill(9, 3, () => expect.unreachable());
  });
});
