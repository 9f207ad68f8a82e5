import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkBooth, checkSet } from '../../shared/gig/check-records.ts';
import {
  changeEntry,
  insertEntries,
  moveEntry,
  newBooth,
  newSet,
  removeEntry,
} from '../../shared/gig/set.ts';
import { GigFault, MAX_ENTRIES } from '../../shared/gig/types.ts';
import { entry, setOf, setTrack } from './helpers.ts';

const entries = ['a', 'b', 'c', 'd'].map((id) => entry(setTrack(id, { pyramid: null })));

describe('records', () => {
  it('come back as they were, through JSON too', () => {
    const set = setOf(
      {
        ...entries[0],
        mixIn: 1,
        mixOut: 2,
        moves: [{ kind: 'jump-beats', beats: -8 }, { kind: 'hold-key' }],
      },
      entries[1],
    );
    expect(checkSet(JSON.parse(JSON.stringify(set)))).toEqual({ ok: true, value: set });
    const booth = newBooth('b', 'The Kiln', 'wide-touch');
    expect(checkBooth(booth)).toEqual({ ok: true, value: booth });
    expect(checkSet(newSet('s', 'Friday'))).toMatchObject({ ok: true });
  });

  it('say what is wrong with them, and what would be right', () => {
    const booth = newBooth('b', ' ', 'wide-touch');
    booth.decks[0].count = 9;
    expect(checkBooth(booth)).toEqual({
      ok: false,
      problems: [
        'This booth: name is ""; it must not be empty.',
        'This booth: decks → entry 1 → count is 9; it must be at most 8.',
      ],
    });
    expect(checkBooth({ ...newBooth('b', 'x', 'p'), decks: [] })).toMatchObject({
      ok: false,
      problems: [expect.stringContaining('needs at least 1 entry')],
    });
    const { decks } = newBooth('b', 'x', 'p');
    expect(checkBooth({ ...newBooth('b', 'x', 'p'), decks: [...decks, ...decks] })).toEqual({
      ok: false,
      problems: ['This booth: the deck "p" is listed twice; list it once and set how many there are.'],
    });
    expect(checkSet(setOf({ ...entries[0], mixIn: 5, mixOut: 5 }, entries[0]))).toEqual({
      ok: false,
      problems: [
        'This set: entry 1 is left before it is brought in; put its mix-out after its mix-in.',
        'This set: two entries have the id "e-a"; give each its own.',
      ],
    });
    const wrong = checkSet({ ...setOf(), entries: [{ ...entries[0], moves: [{ kind: 'fly' }] }] });
    expect(wrong).toMatchObject({
      ok: false,
      problems: [expect.stringMatching(/moves → entry 1 → kind is "fly"/)],
    });
    expect(checkSet(null)).toMatchObject({ ok: false, problems: [expect.stringContaining('This set')] });
  });

  it('whatever is read, nothing is thrown', () => {
    fc.assert(
      fc.property(fc.anything(), (data) => {
        expect(checkSet(data).ok).toBe(false);
        expect(checkBooth(data).ok).toBe(false);
      }),
    );
  });
});

describe('edits', () => {
  const ids = (set: { entries: { id: string }[] }) => set.entries.map(({ id }) => id.slice(2)).join('');

  it('insert, move, change and remove, and leave the given set alone', () => {
    const set = setOf(...entries.slice(0, 3));
    expect(ids(insertEntries(set, [entries[3]], 1))).toBe('adbc');
    expect(ids(insertEntries(set, [entries[3]], 99))).toBe('abcd');
    expect(ids(moveEntry(set, 'e-a', 2))).toBe('bca');
    expect(ids(moveEntry(set, 'e-c', 0))).toBe('cab');
    expect(moveEntry(set, 'e-x', 0)).toBe(set);
    expect(ids(removeEntry(set, 'e-b'))).toBe('ac');
    expect(changeEntry(set, 'e-b', { mixIn: 3 }).entries.map(({ mixIn }) => mixIn)).toEqual([null, 3, null]);
    expect(ids(set)).toBe('abc');
    const full = setOf(...Array(MAX_ENTRIES).fill(entries[0]));
    expect(() => insertEntries(full, [entries[1]], 0)).toThrow(GigFault);
  });
});
