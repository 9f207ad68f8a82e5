import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assignSlots } from '../../shared/markers/edit.ts';
import { faultOf, type HotCue, type Importance } from '../../shared/markers/marker.ts';
import { moveLabel, moveSentence } from '../../shared/survival/plan-words.ts';
import { planSlots, slotTiers } from '../../shared/survival/planner.ts';
import { cue, deck, DECKS, poor, small, strip, wide } from './helpers.ts';

/** A cue per letter: `A3@5` is cue A of importance 3 in slot 5, at 10 s for A, 20 s for B and so on. */
const cues = (text: string): HotCue[] =>
  text.split(' ').map((word) => {
    const [, letter, importance, slot] = /^([A-Z])([123])@(\d|-)$/.exec(word)!;
    return cue(letter, 10 * (letter.charCodeAt(0) - 64), slot === '-' ? null : Number(slot), {
      importance: Number(importance) as Importance,
      name: letter,
    });
  });

const moved = (text: string, decks = DECKS) =>
  planSlots(cues(text), decks).moves.map((m) => `${m.markerId} ${moveLabel(m)} ${m.why.key}`);

describe('tiers of slots', () => {
  it('end where a deck or its first bank ends', () => {
    // 8 in one bank, 8 in banks of 4, 3 and 3.
    expect(slotTiers(DECKS)).toEqual([3, 4, 8]);
    expect(slotTiers([wide])).toEqual([8]);
    expect(slotTiers([deck(wide, { hotCues: { slots: 0 } })])).toEqual([]);
    expect(slotTiers([])).toEqual([]);
  });

  it('keep the first three together where a deck has fewer', () => {
    expect(slotTiers([wide, deck(poor, { hotCues: { slots: 2, buttons: 2 } })])).toEqual([2, 3, 8]);
    expect(slotTiers([deck(poor, { hotCues: { slots: 2, buttons: 2 } })])).toEqual([2]);
  });

  it('go no further than the slots that a cue can have', () => {
    expect(slotTiers([deck(wide, { hotCues: { slots: 16, buttons: 16 } })])).toEqual([8]);
  });
});

describe('plans', () => {
  it('bring the three that matter most into the first three slots', () => {
    // D and E matter most and stand beyond three slots; of A, B and C only B may stay, since it matters more.
    expect(moved('A1@1 B2@2 C1@3 D3@4 E3@5', [wide, strip])).toEqual([
      'D slot 4 → slot 1 into-reach',
      'E slot 5 → slot 3 into-reach',
      'A slot 1 → slot 4 makes-room',
      'C slot 3 → slot 5 makes-room',
    ]);
  });

  it('leave all as it is where it serves, even out of order in time', () => {
    expect(moved('A3@3 B3@1 C3@2 D1@5 E1@4')).toEqual([]);
    expect(moved('A1@8 B3@2', [wide])).toEqual([]);
  });

  it('between equals let the one stay that is there', () => {
    // E is later than D but has a first slot already; both matter as much.
    expect(moved('A3@1 B3@2 D2@5 E2@3', [wide, strip])).toEqual([]);
  });

  it('between equals from outside take the earlier', () => {
    expect(moved('A3@1 B3@2 D2@5 E2@4', [wide, strip])).toEqual(['D slot 5 → slot 3 into-reach']);
  });

  it('put those that come in in order of time', () => {
    expect(moved('A3@8 B3@7 C3@6', [strip, wide])).toEqual([
      'A slot 8 → slot 1 into-reach',
      'B slot 7 → slot 2 into-reach',
      'C slot 6 → slot 3 into-reach',
    ]);
  });

  it('prefer the first bank for the fourth that matters', () => {
    // Three slots are taken by more important ones; slot 4 is the last on the first bank of four buttons.
    expect(moved('A3@1 B3@2 C3@3 D2@6', [small, strip])).toEqual(['D slot 6 → slot 4 nearer-bank']);
    expect(moved('A3@1 B3@2 C3@3 D2@6', [wide, strip])).toEqual([]);
  });

  it('give a slot to those that have none', () => {
    expect(moved('A2@1 B2@-', [wide])).toEqual(['B no slot → slot 2 had-no-slot']);
  });

  it('take the slot of the least important when all are full, and say so', () => {
    const text = 'A2@1 B2@2 C2@3 D2@4 E1@5 F2@6 G2@7 H2@8 I3@-';
    const { moves } = planSlots(cues(text), [wide]);
    expect(moves.map((m) => `${m.markerId} ${moveLabel(m)}`)).toEqual([
      'I no slot → slot 5',
      'E slot 5 → no slot',
    ]);
    expect(moves.map(moveSentence)).toEqual([
      'It had no slot, and here is room for it.',
      'Slot 5 goes to “I”, which matters more, and no slot is free.',
    ]);
  });

  it('park beyond the decks what they have no room for', () => {
    expect(moved('A2@1 B2@2 C1@3 D3@4', [strip])).toEqual([
      'D slot 4 → slot 3 into-reach',
      'C slot 3 → slot 4 makes-room',
    ]);
    expect(planSlots(cues('A2@1 B2@2 C1@3 D3@4'), [strip]).kept).toEqual(['A', 'B']);
  });

  it('keep the three first where another deck has only two', () => {
    const two = deck(poor, { hotCues: { slots: 2, buttons: 2 } });
    const { moves } = planSlots(cues('A3@1 B3@2 C2@6'), [wide, two]);
    expect(moves.map(moveLabel)).toEqual(['slot 6 → slot 3']);
    expect(moves.map(moveSentence)).toEqual(['It is among the 3 that matter most.']);
  });

  it('explain each move in a sentence', () => {
    expect(planSlots(cues('A1@1 B3@2 C3@3 D3@5'), DECKS).moves.map(moveSentence)).toEqual([
      'Slot 5 is out of reach on Touch strip, Overview only, and it matters enough to be in reach there.',
      'Slot 1 goes to “D”, which matters more.',
    ]);
  });

  it('do nothing without decks that have hot cues', () => {
    expect(moved('A1@7 B3@-', [deck(wide, { hotCues: { slots: 0, buttons: 0 } })])).toEqual([]);
    expect(planSlots([], DECKS).moves).toEqual([]);
  });
});

describe('any cues in any booth', () => {
  const booth = fc.array(
    fc
      .record({ slots: fc.integer({ min: 0, max: 16 }), buttons: fc.integer({ min: 0, max: 16 }) })
      .map((hotCues) => deck(wide, { hotCues })),
    { minLength: 1, maxLength: 4 },
  );
  const anyCues = fc
    .record({
      count: fc.integer({ min: 0, max: 12 }),
      slots: fc.shuffledSubarray([1, 2, 3, 4, 5, 6, 7, 8], { minLength: 8 }),
      holes: fc.array(fc.boolean(), { minLength: 12, maxLength: 12 }),
      ranks: fc.array(fc.constantFrom<Importance>(1, 2, 3), { minLength: 12, maxLength: 12 }),
      times: fc.array(fc.integer({ min: 0, max: 300 }), { minLength: 12, maxLength: 12 }),
    })
    .map(({ count, slots, holes, ranks, times }) =>
      Array.from({ length: count }, (_, i) =>
        cue(`c${i}`, times[i], holes[i] ? null : (slots[i] ?? null), { importance: ranks[i], name: `n${i}` }),
      ),
    );
  const both = (check: (list: HotCue[], decks: typeof DECKS) => void) =>
    fc.assert(
      fc.property(anyCues, booth, (list, decks) => {
        check(list, decks);
      }),
      { numRuns: 300 },
    );

  it('change nothing but slots, and give none twice', () => {
    both((list, decks) => {
      const { before, after, moves, kept } = planSlots(list, decks);
      const bare = (all: HotCue[]) =>
        all.map((c) => ({ ...c, slot: 0 })).sort((a, b) => (a.id < b.id ? -1 : 1));
      expect(bare(before)).toEqual(bare(list));
      expect(bare(after)).toEqual(bare(list));
      expect(faultOf(after)).toBeNull();
      expect(moves.length + kept.length).toBe(list.length);
      // The moves alone lead from what was to what would be.
      expect(assignSlots(before, new Map(moves.map((m) => [m.markerId, m.to])))).toEqual(after);
      for (const move of moves) {
        expect(move.from).not.toBe(move.to);
        expect(moveSentence(move)).not.toMatch(/undefined|null|NaN|on ,/);
      }
    });
  });

  it('have nothing to move the second time', () => {
    both((list, decks) => expect(planSlots(planSlots(list, decks).after, decks).moves).toEqual([]));
  });

  it('put on every deck those in reach that matter most', () => {
    both((list, decks) => {
      const { after } = planSlots(list, decks);
      for (const { hotCues } of decks) {
        for (const last of [hotCues.slots, Math.min(hotCues.buttons, hotCues.slots)]) {
          const inside = after.filter((c) => c.slot !== null && c.slot <= last);
          const outside = after.filter((c) => !inside.includes(c));
          expect(inside.length).toBe(Math.min(last, 8, list.length));
          const least = Math.min(...inside.map((c) => c.importance));
          if (last) for (const c of outside) expect(c.importance).toBeLessThanOrEqual(least);
        }
      }
    });
  });

  it('move no cue within its tier', () => {
    both((list, decks) => {
      const { moves, tiers } = planSlots(list, decks);
      const tierOf = (slot: number | null) => (slot === null ? -1 : tiers.filter((end) => end < slot).length);
      for (const { from, to } of moves) expect(tierOf(from)).not.toBe(tierOf(to));
    });
  });
});
