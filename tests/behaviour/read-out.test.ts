/** What a hand drill draws of time never flashes: WCAG 2.3.1 allows three flashes a second. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drills, isRefusal } from '../../shared/behaviour/drills/drills.ts';
import { DRILLS } from '../../shared/behaviour/drills/machine.ts';
import { isDeck, turnOf } from '../../src/train/hands/read-out.ts';
import { shippedDeck, shippedNames } from '../profiles/files.ts';

/** Each drill that a deck has and that has a deck that plays. */
const MACHINES = shippedNames
  .map((name) => shippedDeck(name.replace('.json', '')))
  .flatMap((profile) =>
    DRILLS.flatMap((drill) => {
      const machine = drills[drill](profile);
      return isRefusal(machine) || !isDeck(machine.start) ? [] : [machine];
    }),
  );

describe('what turns with the beat', () => {
  it('turns three times a second at most, whatever is pressed and whenever', () => {
    expect(MACHINES.length).toBeGreaterThan(8);
    let drawn = 0;
    let hidden = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(...MACHINES),
        fc.array(fc.tuple(fc.nat(), fc.double({ min: 0, max: 1.5, noNaN: true })), { maxLength: 14 }),
        (machine, steps) => {
          let state: unknown = machine.start;
          for (const [n, wait] of steps) {
            state = machine.passTo(state, machine.now(state) + wait);
            const presses = machine.presses(state);
            if (presses.length) state = machine.press(state, presses[n % presses.length]);
            if (!isDeck(state)) continue;
            const turn = turnOf(state.deck);
            if (!turn) {
              hidden++;
              continue;
            }
            drawn++;
            expect(turn.seconds).toBeGreaterThanOrEqual(1 / 3);
            expect(turn.share).toBeGreaterThanOrEqual(0);
            expect(turn.share).toBeLessThanOrEqual(1);
          }
        },
      ),
      { numRuns: 300 },
    );
    expect(drawn).toBeGreaterThan(100);
    expect(hidden).toBeGreaterThan(5);
  });
});
