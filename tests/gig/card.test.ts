import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { overviewColumns } from '../../shared/display/model.ts';
import { barAt } from '../../shared/gig/card/bars.ts';
import { lookAt, readinessOf } from '../../shared/gig/readiness.ts';
import type { Booth, GigSet, SetTrack } from '../../shared/gig/types.ts';
import { MOST_REMINDERS, remindersFor } from '../../shared/gig/card/reminders.ts';
import { noGrid, timeOfBeat } from '../../shared/grid/grid.ts';
import { constantGrid } from '../display/tracks.ts';
import { beat, BPM, cue, deck, DECKS, DURATION, GRID, mark, poor, small, wide } from '../survival/helpers.ts';
import { boothOf, entry, setOf, setTrack } from './helpers.ts';

describe('bars', () => {
  it('are counted as on the screen: the bar of beat 0 is bar 1, whole or not', () => {
    // Beat 0 is at 0.1 s and begins a bar.
    expect([0.1, beat(3), beat(4), beat(64)].map((t) => barAt(GRID, t))).toEqual([
      { bar: 1, beat: 1 },
      { bar: 1, beat: 4 },
      { bar: 2, beat: 1 },
      { bar: 17, beat: 1 },
    ]);
    // The last beat of a bar comes first: an upbeat.
    const upbeat = constantGrid(BPM, DURATION, { firstBeatInBar: 3 });
    expect([0.1, beat(1), beat(5)].map((t) => barAt(upbeat, t))).toEqual([
      { bar: 1, beat: 4 },
      { bar: 2, beat: 1 },
      { bar: 3, beat: 1 },
    ]);
    // As the screen counts a time that is rounded to less than its beat.
    expect(barAt(upbeat, beat(5) - 1e-4)).toEqual({ bar: 3, beat: 1 });
    expect(barAt(noGrid(10), 3)).toBeNull();
  });

  it('rise with time and are the same a bar later, but for the one', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 60, max: 200, noNaN: true }),
        fc.integer({ min: 0, max: 3 }),
        fc.integer({ min: 0, max: 400 }),
        (bpm, firstBeatInBar, n) => {
          const grid = constantGrid(bpm, 600, { firstBeatInBar });
          const here = barAt(grid, timeOfBeat(grid, n));
          const later = barAt(grid, timeOfBeat(grid, n + 4));
          expect(later).toEqual({ bar: (here?.bar ?? 0) + 1, beat: here?.beat });
          expect(here?.beat).toBe(((n + firstBeatInBar) % 4) + 1);
        },
      ),
    );
  });
});

const cardModel = (set: GigSet, tracks: SetTrack[], booth: Booth, profiles: typeof DECKS) => {
  const looked = new Map(tracks.map((track) => [track.id, lookAt(track, set, booth, profiles)!]));
  return readinessOf(set, looked, booth, profiles).card;
};

describe('the card', () => {
  const markers = [
    cue('late', beat(256), 1, { name: 'Mix out', colour: '#00c2ca', importance: 3 }),
    cue('drop', beat(64), 3, { name: 'Drop', importance: 3 }),
    cue('far', beat(128), 6),
    mark('m', beat(32), { name: 'Build' }),
  ];
  const track = setTrack('a', {
    markers,
    key: { name: 'A minor', confidence: 0.9 },
    source: setTrack('x').source,
  });
  const gone = entry(setTrack('z', { title: 'Weir' }), { trackId: null, mixIn: 5 });
  const set = setOf(entry(track, { mixIn: beat(32), mixOut: beat(256), note: 'long blend' }), gone);
  const card = cardModel(set, [track], boothOf(small, poor), DECKS);

  it('shows each track with what the worst deck has', () => {
    expect(card).toMatchObject({
      setName: 'Friday',
      boothName: 'The Kiln',
      worstDeck: { profileId: 'overview-only', name: poor.name },
    });
    const [first, second] = card.tracks;
    expect(first).toMatchObject({
      number: 1,
      title: 'Harbour a',
      artist: 'Mira Quell',
      tempo: BPM,
      key: 'A minor',
      duration: DURATION,
      mixIn: { time: beat(32), place: { bar: 9, beat: 1 } },
      mixOut: { time: beat(256), place: { bar: 65, beat: 1 } },
      cuesBeyond: 1,
      note: 'long blend',
    });
    // In slot order; the deck has one colour, so none is printed.
    expect(first.cues).toEqual([
      { slot: 1, bank: 1, time: beat(256), place: { bar: 65, beat: 1 }, name: 'Mix out', colour: null },
      { slot: 3, bank: 1, time: beat(64), place: { bar: 17, beat: 1 }, name: 'Drop', colour: null },
    ]);
    expect(first.marks).toEqual([
      { time: beat(32), place: { bar: 9, beat: 1 }, name: 'Build', shown: false },
    ]);
    expect(first.strip).toEqual(overviewColumns({ pyramid: track.pyramid!, duration: DURATION }, poor));
    expect(second).toMatchObject({
      number: 2,
      title: 'Weir',
      duration: null,
      mixIn: { time: 5, place: null },
      cues: [],
      strip: null,
      warnings: [{ key: 'not-in-library' }],
    });
  });

  it('warns of the two things that hurt most', () => {
    const [first] = card.tracks;
    expect(first.warnings).toHaveLength(2);
    expect(first.warnings.map(({ key }) => key)).toEqual(['mix-in-unreadable', 'slot-beyond']);
    expect(first.moreWarnings).toBeGreaterThan(0);
    expect(first.warnings[0].weight).toBeGreaterThanOrEqual(first.warnings[1].weight);
  });

  it('lists the decks as the booth does, with five lines for each at most', () => {
    expect(card.decks.map(({ name, count, linked }) => [name, count, linked])).toEqual([
      [small.name, 2, true],
      [poor.name, 2, true],
    ]);
    expect(card.decks[1].reminders).toEqual([
      'After loading: load the cues by hand (5 presses for three), before you touch a cue button.',
      'Never pull a drive that plays; no light tells which one does: the music stops.',
      'Match the tempo and the beat by ear: there is no sync.',
      'Go by time and count, not by sight: one column of the overview is 0.9 s of a track of six minutes.',
      'Quantise off (in the menu) before you loop.',
    ]);
    for (const profile of DECKS) {
      for (const linked of [true, false]) {
        const lines = remindersFor(profile, linked);
        expect(lines.length).toBeGreaterThan(0);
        expect(lines.length).toBeLessThanOrEqual(MOST_REMINDERS);
        for (const line of lines) expect(line).not.toMatch(/undefined|NaN/);
      }
    }
    expect(remindersFor(wide, false)).toContain('Bring a drive for each deck: they do not share one.');
    expect(remindersFor(wide, true).join()).not.toContain('drive for each');
  });

  it('a booth of which no deck is known still prints', () => {
    const unknown = deck(wide, { id: 'nobody-knows' });
    const bare = cardModel(set, [track], boothOf(unknown), DECKS);
    expect(bare.worstDeck).toBeNull();
    expect(bare.decks).toEqual([]);
    expect(bare.tracks[0]).toMatchObject({ cues: [], cuesBeyond: 3, strip: null });
  });
});
