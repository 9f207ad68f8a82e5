import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Finding } from '../../shared/gig/check/finding.ts';
import { findings } from '../../shared/gig/check/findings.ts';
import { fewestJumps } from '../../shared/gig/check/features.ts';
import { alikeOn, cutTo, riskyCharacter } from '../../shared/gig/check/names.ts';
import { findingSentence, gigRemedyLabel, severityWord } from '../../shared/gig/check/words.ts';
import type { PlannedMove, SetTrack } from '../../shared/gig/types.ts';
import { noGrid } from '../../shared/grid/grid.ts';
import type { Importance } from '../../shared/markers/marker.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import {
  beat,
  bassChange,
  cue,
  deck,
  DECKS,
  DURATION,
  GRID,
  judged,
  loop,
  mark,
  poor,
  sections,
  small,
  strip,
  WAV,
  wide,
} from '../survival/helpers.ts';
import { boothOf, entry, setOf, setTrack } from './helpers.ts';

const check = (track: SetTrack, decks: DeckProfile[], moves: PlannedMove[] = [], more = {}) =>
  findings(setOf(entry(track, { moves, ...more })), [track], boothOf(...decks), [...DECKS, ...decks]);
const keys = (found: Finding[]) => found.map(({ key }) => key);
const get = (found: Finding[], key: string): Finding => {
  const one = found.find((f) => f.key === key);
  if (!one) throw new Error(`${key} is not among ${keys(found).join(', ')}`);
  return one;
};

describe('files', () => {
  it('a FLAC of 96 kHz in 32 bits does not load on the poorest deck, and nothing else is said of it there', () => {
    const track = setTrack('a', {
      source: { ...WAV, container: 'flac', codec: 'flac', sampleRate: 96000, bitDepth: 32 },
      markers: [cue('c', beat(64), 6)],
      grid: noGrid(DURATION),
    });
    const found = check(track, [wide, poor]);
    expect(found.slice(0, 3).map(({ key, profileIds, severity }) => [key, profileIds, severity])).toEqual([
      ['file-bit-depth', ['overview-only', 'wide-touch'], 'stops'],
      ['file-format', ['overview-only'], 'stops'],
      ['file-sample-rate', ['overview-only'], 'stops'],
    ]);
    expect(get(found, 'file-format').remedies).toEqual([{ action: 'make-copy' }]);
    expect(keys(found).slice(3)).toEqual([]);
    expect(findingSentence(get(found, 'file-format'))).toBe(
      '“Harbour a”: This deck does not load FLAC files; it plays MP3, AAC, WAV and AIFF.',
    );
  });

  it('a track without markers is asked too, and a damaged file is told once', () => {
    const track = setTrack('a', {
      source: { ...WAV, bitDepth: 32 },
      partial: { reason: 'truncated', sentence: '' },
    });
    expect(keys(check(track, [wide, poor]))).toEqual(['file-bit-depth', 'file-partial']);
  });
});

describe('booths and libraries', () => {
  it('an unknown deck and a track that is not there come before what is merely harder', () => {
    const track = setTrack('a', { grid: { ...GRID, confidence: 0.5 } });
    const set = setOf(entry(setTrack('z'), { trackId: null }), entry(track));
    const booth = boothOf(poor);
    booth.decks.push({ profileId: 'nobody-knows', count: 1, linked: false });
    const found = findings(set, [track], booth, DECKS);
    expect(found.map(({ key, entryIds, remedies }) => [key, entryIds, remedies[0].action])).toEqual([
      ['deck-unknown', [], 'answer-questions'],
      ['not-in-library', ['e-z'], 'add-file'],
      ['grid-unsure', ['e-a'], 'check-grid'],
    ]);
    expect(findingSentence(found[2])).toContain('unsure (50 per cent)');
  });
});

describe('grids', () => {
  it('none, unsure, corrected by hand, silent, and a deck that does not go by beats', () => {
    const none = { grid: noGrid(DURATION) };
    expect(keys(check(setTrack('a', none), [wide]))).toEqual(['grid-none']);
    expect(keys(check(setTrack('a', { grid: { ...GRID, confidence: 0.79 } }), [wide]))).toEqual([
      'grid-unsure',
    ]);
    expect(check(setTrack('a', { grid: { ...GRID, confidence: 0.8 } }), [wide])).toEqual([]);
    expect(check(setTrack('a', { grid: { ...GRID, confidence: 0.2 }, gridByHand: true }), [wide])).toEqual(
      [],
    );
    expect(check(setTrack('a', { ...none, silent: true }), [wide])).toEqual([]);
    const beatless = deck(poor, {
      quantise: { steps: [], setIn: 'none' },
      loops: { method: 'none', direct: [] },
    });
    expect(check(setTrack('a', none), [beatless])).toEqual([]);
  });
});

describe('markers', () => {
  it('cues beyond the slots: one finding for the track, told of the poorest deck, the plan of slots as its remedy', () => {
    const markers = [
      cue('in', beat(0), 1),
      cue('drop', beat(64), 6, { name: 'Drop', importance: 3 }),
      cue('out', beat(256), 5, { importance: 1 }),
    ];
    const found = check(setTrack('a', { markers }), [wide, strip, poor]);
    const beyond = get(found, 'slot-beyond');
    expect(beyond).toMatchObject({
      profileIds: ['overview-only', 'touch-strip'],
      entryIds: ['e-a'],
      // 30 for a cue, 14 for each step of importance
      weight: 58,
      severity: 'hampers',
      remedies: [{ action: 'plan-slots' }],
    });
    expect(beyond.details.map(({ markerId }) => markerId)).toEqual(['drop', 'out']);
    expect(beyond.details[0].remedies[0]).toEqual({ action: 'take-slot', slot: 2 });
    expect(findingSentence(beyond)).toBe(
      '2 markers, first “Drop”: This deck has 3 slots; a cue in slot 6 is not there.',
    );
    // A move that was planned with it makes it worse: the plan breaks.
    const planned = check(setTrack('a', { markers }), [poor], [{ kind: 'fire-cue', markerId: 'drop' }]);
    expect(get(planned, 'slot-beyond')).toMatchObject({ weight: 73, severity: 'breaks' });
    expect(planned[0].key).toBe('slot-beyond');
  });

  it('what is only weakened is told once for the whole set', () => {
    const tracks = ['a', 'b', 'c'].map((id) => setTrack(id, { markers: [cue('c', beat(64), 2)] }));
    const found = findings(setOf(...tracks.map((t) => entry(t))), tracks, boothOf(poor), DECKS);
    const recall = get(found, 'recall-by-hand');
    expect(recall.entryIds).toEqual(['e-a', 'e-b', 'e-c']);
    expect(found.filter(({ key }) => key === 'recall-by-hand')).toHaveLength(1);
    expect(findingSentence(recall)).toMatch(
      /^3 markers in 3 tracks, first the cue in slot 2: Cues do not come/,
    );
  });
});

describe('what can be seen', () => {
  // The bass comes in at beat 256: three bands show it, the flat overview of one height does not.
  const blind = deck(poor, { overview: { heightSteps: 1 } });
  const changing = judged({}, bassChange(256, 0.02, 0.25, 0.4)).pyramid;
  const change = (more: Partial<SetTrack> = {}) =>
    setTrack('a', { pyramid: changing, sections: sections(0, beat(256)), ...more });

  it('a change that only the richest deck shows, and a track of which nothing is marked there', () => {
    const found = check(change(), [wide, blind]);
    const unseen = get(found, 'changes-unseen');
    expect(unseen.profileIds).toEqual([blind.id]);
    expect(unseen.details).toMatchObject([
      { time: beat(256), name: 'drop', remedies: [{ action: 'add-cue', slot: 1 }] },
    ]);
    expect(get(found, 'nothing-marked')).toMatchObject({ params: { changes: 1 }, weight: 40 });
    // A cue in reach tells of it; one in a slot that the deck lacks does not.
    expect(keys(check(change({ markers: [cue('c', beat(256), 2)] }), [blind]))).toEqual(['recall-by-hand']);
    expect(keys(check(change({ markers: [cue('c', beat(40), 5)] }), [blind]))).toEqual([
      'slot-beyond',
      'nothing-marked',
      'changes-unseen',
    ]);
  });

  it('a mix point that nothing shows, and one at the end of the track', () => {
    const track = change();
    const found = check(track, [blind], [], { mixIn: beat(256), mixOut: DURATION - 1 });
    expect(get(found, 'mix-in-unreadable').remedies[0]).toEqual({
      action: 'add-cue',
      time: beat(256),
      name: '',
      slot: 1,
    });
    expect(keys(found)).not.toContain('mix-out-unreadable');
    expect(keys(check(track, [wide], [], { mixIn: beat(256) }))).toEqual([]);
  });

  it('without a pyramid nothing is said of it', () => {
    const track = change({ pyramid: null, markers: [mark('m', beat(256))] });
    expect(keys(check(track, [wide, blind], [], { mixIn: beat(100) }))).toEqual([
      'nothing-marked',
      'marks-not-shown',
    ]);
  });
});

describe('planned moves', () => {
  const markers = [cue('c', beat(64), 1), loop('l', 64, 4)];
  const on = (decks: DeckProfile[], ...moves: PlannedMove[]) =>
    check(setTrack('a', { markers }), decks, moves).filter(({ weight }) => weight > 28);

  it('habits without a button, with the decks on which there is none', () => {
    const found = on(
      [wide, poor],
      { kind: 'follow-tempo' },
      { kind: 'jump-beats', beats: -16 },
      { kind: 'slip' },
      { kind: 'slip-reverse' },
      { kind: 'copy-deck' },
      { kind: 'sweep-strip' },
      { kind: 'listen-ahead' },
      { kind: 'shift-tempo', percent: -20 },
      { kind: 'set-cues', count: 4 },
      { kind: 'hold-key' },
    );
    expect(found.map(({ key, profileIds }) => [key, profileIds.join()])).toEqual([
      ['no-follow', 'overview-only'],
      ['few-cues-to-set', 'overview-only'],
      ['no-beat-jump', 'overview-only'],
      ['tempo-range', 'overview-only'],
      ['no-slip', 'overview-only'],
      ['no-strip', 'overview-only,wide-touch'],
      ['no-copy', 'overview-only'],
      ['no-slip-reverse', 'overview-only'],
      ['no-listen-ahead', 'overview-only'],
    ]);
  });

  it('decks that are not linked cannot follow', () => {
    const track = setTrack('a');
    const set = setOf(entry(track, { moves: [{ kind: 'follow-tempo' }] }));
    const apart = findings(set, [track], boothOf([wide, false]), DECKS);
    expect(keys(apart)).toEqual(['not-linked']);
    expect(findings(set, [track], boothOf([wide, true]), DECKS)).toEqual([]);
  });

  it('jumps that take several presses, are on the screen, or cannot be made', () => {
    expect(keys(on([wide], { kind: 'jump-beats', beats: 16 }))).toEqual([]);
    const keysOf = (beats: number, deck: DeckProfile) =>
      keys(check(setTrack('a'), [deck], [{ kind: 'jump-beats', beats }]));
    expect(keysOf(48, wide)).toEqual(['jump-in-parts']);
    expect(keysOf(4, small)).toEqual(['jump-on-screen']);
    expect(keysOf(0.5, small)).toEqual(['no-jump-length']);
    expect(fewestJumps(48, [1, 2, 4, 8, 16, 32, 64])).toBe(2);
    expect(fewestJumps(6, [1, 3, 4])).toBe(2);
    expect(fewestJumps(5, [2, 4])).toBeNull();
  });

  it('loops by length, cues that are gone, and cues that would be overwritten', () => {
    expect(keys(on([poor], { kind: 'make-loop', beats: 4, time: null }))).toEqual([]);
    // Its loop begins at four beats and each press halves it.
    const found = on([poor], { kind: 'make-loop', beats: 8, time: null });
    expect(found).toMatchObject([{ key: 'no-loop-length', params: { beats: 8, nearest: 4 } }]);
    expect(
      keys(on([wide], { kind: 'fire-cue', markerId: 'x' }, { kind: 'run-loop', markerId: 'c' })),
    ).toEqual(['cue-gone', 'loop-gone']);
    expect(on([poor], { kind: 'set-cues', count: 3 })).toMatchObject([
      { key: 'cues-overwritten', params: { wanted: 3, free: 2 } },
    ]);
  });
});

describe('names in the list', () => {
  it('tracks that look the same, nearer than the list is long, and how they are cut', () => {
    const titles = ['A long way to the harbour (Day)', 'Weir', 'A long way to the harbour (Night)'];
    const tracks = titles.map((title, i) => setTrack(`t${i}`, { title }));
    const set = setOf(...tracks.map((t) => entry(t)));
    const found = findings(set, tracks, boothOf(poor, wide), DECKS);
    expect(found).toMatchObject([
      {
        key: 'names-alike',
        profileIds: ['overview-only'],
        entryIds: ['e-t0', 'e-t2'],
        params: { shown: 'A long way to the ha' },
        severity: 'hampers',
      },
    ]);
    expect(findingSentence(found[0])).toBe('2 tracks look the same in the list: “A long way to the ha”.');
    // Another name on the drive tells them apart; the other is still cut.
    const renamed = setOf(...tracks.map((t, i) => entry(t, i ? {} : { nameOnDrive: 'Harbour (Day)' })));
    expect(keys(findings(renamed, tracks, boothOf(poor), DECKS))).toEqual(['names-cut']);
    const one = findings(setOf(entry(tracks[0])), tracks, boothOf(poor), DECKS);
    expect(keys(one)).toEqual(['names-cut']);
  });

  it('the artist tells them apart where the list has a second column; the same track twice is no confusion', () => {
    const entries = ['Mira Quell', 'Oskar Venn'].map((artist, i) => ({
      entryId: `${i}`,
      trackId: `${i}`,
      title: 'Weir',
      artist,
    }));
    expect(alikeOn(entries, poor)).toMatchObject([{ shown: 'Weir', together: true }]);
    expect(alikeOn(entries, strip)).toEqual([]);
    expect(alikeOn([entries[0], { ...entries[0], entryId: '9' }], poor)).toEqual([]);
    const filler = Array.from({ length: 3 }, (_, i) => ({
      entryId: `f${i}`,
      trackId: `f${i}`,
      title: `${i}`,
      artist: '',
    }));
    expect(alikeOn([entries[0], ...filler, entries[1]], poor)[0].together).toBe(false);
  });

  it('counts characters as a reader does and knows those that may not be shown', () => {
    expect(cutTo('e\u0301te\u0301', 2)).toBe('e\u0301t');
    expect(riskyCharacter('Été №1 (12" Mix) © *', wide)).toBeNull();
    expect(riskyCharacter('Fire 🔥', wide)).toBe('🔥');
    expect(riskyCharacter('海', wide)).toBeNull();
    expect(riskyCharacter('海', poor)).toBe('海');
  });
});

describe('slow loaders', () => {
  it('are told of large covers, only where metadata slows them', () => {
    const track = setTrack('a', { metadataBytes: 2_400_000 });
    const [found] = check(track, [small]);
    expect(found.key).toBe('slow-to-load');
    expect(findingSentence(found)).toBe(
      '1 track has so much besides the music that loading takes noticeably longer (“Harbour a”: 2.4 MB of tags and covers).',
    );
    expect(check(track, [wide])).toEqual([]);
  });
});

describe('whatever the set', () => {
  const time = fc.integer({ min: 0, max: 700 }).map(beat);
  const importance = fc.constantFrom<Importance>(1, 2, 3);
  const move: fc.Arbitrary<PlannedMove> = fc.oneof(
    fc.constantFrom<PlannedMove>(
      { kind: 'follow-tempo' },
      { kind: 'slip' },
      { kind: 'sweep-strip' },
      { kind: 'hold-key' },
      { kind: 'fire-cue', markerId: 'c1' },
      { kind: 'run-loop', markerId: 'c1' },
    ),
    fc.integer({ min: 1, max: 70 }).map((beats): PlannedMove => ({ kind: 'jump-beats', beats })),
    fc.integer({ min: 1, max: 16 }).map((count): PlannedMove => ({ kind: 'set-cues', count })),
  );
  const trackArbitrary = fc.record({
    slots: fc.uniqueArray(fc.integer({ min: 1, max: 8 }), { maxLength: 5 }),
    time,
    importance,
    title: fc.string({ unit: 'grapheme', maxLength: 30 }),
    confidence: fc.double({ min: 0, max: 1, noNaN: true }),
    bitDepth: fc.constantFrom(16, 24, 32),
    mixIn: fc.option(time),
    moves: fc.array(move, { maxLength: 4 }),
  });

  it('is sorted, has words for everything, names decks of the booth, and is the same again', () => {
    fc.assert(
      fc.property(
        fc.array(trackArbitrary, { minLength: 1, maxLength: 4 }),
        fc.uniqueArray(fc.constantFrom(...DECKS), { minLength: 1, maxLength: 3 }),
        (list, decks) => {
          const tracks = list.map((t, i) =>
            setTrack(`t${i}`, {
              title: t.title,
              grid: { ...GRID, confidence: t.confidence },
              source: { ...WAV, bitDepth: t.bitDepth },
              markers: t.slots.map((slot) => cue(`c${slot}`, t.time, slot, { importance: t.importance })),
              pyramid: null,
            }),
          );
          const set = setOf(
            ...tracks.map((t, i) => entry(t, { mixIn: list[i].mixIn, moves: list[i].moves })),
          );
          const booth = boothOf(...decks);
          const found = findings(set, tracks, booth, DECKS);
          const weights = found.map(({ weight }) => weight);
          expect(weights).toEqual([...weights].sort((a, b) => b - a));
          expect(new Set(found.map(({ id }) => id)).size).toBe(found.length);
          const ids = new Set(decks.map(({ id }) => id));
          for (const finding of found) {
            expect(findingSentence(finding)).toMatch(/^.+[.”]$/su);
            expect(findingSentence(finding)).not.toMatch(/undefined|NaN|Infinity/);
            expect(severityWord(finding.severity)).not.toBe('');
            expect(finding.remedies.length).toBeGreaterThan(0);
            for (const remedy of finding.remedies) expect(gigRemedyLabel(remedy)).not.toBe('');
            expect(finding.profileIds.every((id) => ids.has(id))).toBe(true);
            expect(finding.details.length).toBeGreaterThan(0);
          }
          expect(findings(set, tracks, booth, DECKS)).toEqual(found);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('another deck in the booth takes no finding away', () => {
    fc.assert(
      fc.property(trackArbitrary, fc.constantFrom(...DECKS), fc.constantFrom(...DECKS), (t, one, other) => {
        const track = setTrack('t', {
          grid: { ...GRID, confidence: t.confidence },
          source: { ...WAV, bitDepth: t.bitDepth },
          markers: t.slots.map((slot) => cue(`c${slot}`, t.time, slot)),
          pyramid: null,
        });
        const set = setOf(entry(track, { mixIn: t.mixIn, moves: t.moves }));
        const alone = findings(set, [track], boothOf(one), DECKS);
        const both = findings(set, [track], boothOf(...new Set([one, other])), DECKS);
        const ids = new Set(both.map(({ id }) => id));
        expect(alone.filter(({ id }) => !ids.has(id))).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });
});
