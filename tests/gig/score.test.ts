import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { score } from '../../shared/gig/check/score.ts';
import { scoreSentence } from '../../shared/gig/check/words.ts';
import type { PlannedMove, SetTrack } from '../../shared/gig/types.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { beat, cue, DECKS, DURATION, loop, mark, poor, strip, WAV, wide } from '../survival/helpers.ts';
import { boothOf, entry, setOf, setTrack } from './helpers.ts';

const of = (track: SetTrack, decks: DeckProfile[], moves: PlannedMove[] = [], more = {}) =>
  score(setOf(entry(track, { moves, ...more })), [track], boothOf(...decks), DECKS);

describe('the share of planned moves', () => {
  it('is null when nothing is planned', () => {
    const nothing = of(setTrack('a', { markers: [mark('m', beat(64)), cue('c', beat(64), 1)] }), [poor]);
    expect(nothing).toEqual({ possible: 0, planned: 0, untold: 0, share: null });
    expect(scoreSentence(nothing)).toContain('No move that could be judged is planned');
  });

  it('worked by hand: nine moves on a wide deck and on the poorest', () => {
    const markers = [
      cue('drop', beat(64), 2, { importance: 3 }),
      cue('late', beat(128), 6, { importance: 3 }),
      loop('out', 256, 4, { importance: 3 }),
      cue('extra', beat(32), 7, { importance: 2 }),
    ];
    const track = setTrack('a', { markers });
    const moves: PlannedMove[] = [
      { kind: 'fire-cue', markerId: 'late' },
      { kind: 'follow-tempo' },
      { kind: 'slip' },
      { kind: 'make-loop', beats: 2, time: null },
      { kind: 'hold-key' },
    ];
    const times = { mixIn: 0, mixOut: beat(256) + 10 };
    // Planned: mix-in, mix-out, four moves that can be told, the cue "drop" and the loop "out", which the set needs.
    // The track never changes, and nothing is marked ten seconds after beat 256: nobody sees the mix-out.
    expect(of(track, [wide], moves, times)).toEqual({ possible: 7, planned: 8, untold: 1, share: 7 / 8 });
    // On the poorest: mix-in at the start, "drop" in slot 2, the loop of four beats, the one of two by a press.
    const onPoor = of(track, [wide, poor], moves, times);
    expect(onPoor).toEqual({ possible: 4, planned: 8, untold: 1, share: 0.5 });
    expect(scoreSentence(onPoor)).toBe(
      '4 of 8 planned moves can be done on every deck of this booth. Of 1 more nothing can be told.',
    );
  });

  it('a mix point counts where it is marked on the deck', () => {
    const at = (markers: SetTrack['markers'], deck: DeckProfile) =>
      of(setTrack('a', { markers }), [deck], [], { mixIn: beat(128) }).share;
    expect(at([], strip)).toBe(0);
    expect(at([mark('m', beat(129))], strip)).toBe(1);
    expect(at([mark('m', beat(130))], strip)).toBe(0);
    // The poorest deck shows no marks, and has three slots.
    expect(at([mark('m', beat(128))], poor)).toBe(0);
    expect(at([cue('c', beat(128), 3)], poor)).toBe(1);
    expect(at([cue('c', beat(128), 4)], poor)).toBe(0);
    expect(at([], wide)).toBe(0);
    expect(of(setTrack('a'), [poor], [], { mixIn: 1, mixOut: DURATION - 1 }).share).toBe(1);
    expect(of(setTrack('a', { pyramid: null }), [wide], [], { mixIn: beat(128) })).toMatchObject({
      planned: 0,
      untold: 1,
      share: null,
    });
  });

  it('nothing of a track that does not load can be done, and of one that is not there nothing can be told', () => {
    const flac = setTrack('a', { source: { ...WAV, container: 'flac', codec: 'flac' } });
    const moves: PlannedMove[] = [{ kind: 'slip' }, { kind: 'hold-key' }];
    expect(of(flac, [wide], moves, { mixIn: 0 })).toMatchObject({ possible: 2, planned: 2 });
    expect(of(flac, [wide, strip], moves, { mixIn: 0 })).toMatchObject({ possible: 0, planned: 3 });
    const gone = score(setOf(entry(flac, { trackId: null, mixIn: 3, moves })), [], boothOf(wide), DECKS);
    expect(gone).toEqual({ possible: 0, planned: 0, untold: 3, share: null });
    // A deck without a profile may not be able to.
    const booth = boothOf(wide);
    booth.decks.push({ profileId: 'nobody-knows', count: 1, linked: true });
    const unsure = score(
      setOf(entry(setTrack('b'), { moves: [{ kind: 'slip' }] })),
      [setTrack('b')],
      booth,
      DECKS,
    );
    expect(unsure).toEqual({ possible: 0, planned: 0, untold: 1, share: null });
  });

  it('never counts more than is planned, and never gains by one more deck', () => {
    const move = fc.constantFrom<PlannedMove>(
      { kind: 'slip' },
      { kind: 'sweep-strip' },
      { kind: 'jump-beats', beats: 4 },
      { kind: 'make-loop', beats: 4, time: null },
      { kind: 'fire-cue', markerId: 'c' },
      { kind: 'hold-key' },
    );
    const decks = fc.uniqueArray(fc.constantFrom(...DECKS), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(
        fc.array(move, { maxLength: 6 }),
        fc.integer({ min: 1, max: 8 }),
        decks,
        (moves, slot, list) => {
          const track = setTrack('a', { markers: [cue('c', beat(8), slot)], pyramid: null });
          const one = of(track, [list[0]], moves);
          const all = of(track, list, moves);
          expect(one.planned + one.untold).toBe(moves.length);
          expect(all.planned).toBe(one.planned);
          expect(all.possible).toBeLessThanOrEqual(one.possible);
          expect(one.possible).toBeLessThanOrEqual(one.planned);
          expect(one.share).toBe(one.planned ? one.possible / one.planned : null);
        },
      ),
      { numRuns: 60 },
    );
  });
});
