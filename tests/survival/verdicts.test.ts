import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { timeOfBeat } from '../../shared/grid/grid.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import { fileFormatOf } from '../../shared/survival/rules/file.ts';
import { reachableLengths } from '../../shared/survival/rules/loops.ts';
import { verdictsFor, verdictTable } from '../../shared/survival/verdicts.ts';
import { outcomeWord, reasonSentence, remedyLabel } from '../../shared/survival/words.ts';
import { constantGrid } from '../display/tracks.ts';
import {
  beat,
  BEAT,
  BPM,
  cue,
  deck,
  DECKS,
  DURATION,
  judged,
  loop,
  mark,
  poor,
  strip,
  WAV,
  wide,
} from './helpers.ts';

const track = judged();
/** Nothing scrolls, but marks are shown: the overview is where they merge. */
const marked = deck(poor, { marks: { shown: true, limit: 10 } });

describe('marks on an overview', () => {
  // 360 s on 400 columns: 0.9 s per column.
  it('of two marks 0.5 s apart the less important is lost and the other weakened', () => {
    const markers = [mark('a', 100, { importance: 1 }), mark('b', 100.5, { importance: 3 })];
    const [a, b] = verdictsFor(markers, track, marked);
    expect(a).toMatchObject({ outcome: 'lost', reasons: [{ key: 'overview-merge' }, ...a.reasons.slice(1)] });
    expect(b.outcome).toBe('weakened');
    expect(b.reasons.find((r) => r.key === 'overview-merge')?.outcome).toBe('weakened');
    // The important one does not have to move.
    expect(b.reasons[0].remedies).not.toContainEqual(expect.objectContaining({ action: 'move-to' }));
  });

  it('of equally important ones the earlier stays', () => {
    const [a, b] = verdictsFor([mark('a', 100), mark('b', 100.5)], track, marked);
    expect([a.outcome, b.outcome]).toEqual(['weakened', 'lost']);
  });

  it('in a chain 0.5 s apart every second one stays', () => {
    const chain = [0, 1, 2, 3, 4].map((i) => mark(`m${i}`, 100 + i * 0.5));
    const lost = verdictsFor(chain, track, marked).filter((v) => v.outcome === 'lost');
    expect(lost.map((v) => v.markerId)).toEqual(['m1', 'm3']);
  });

  it('a mark and a cue are both weakened', () => {
    const merged = verdictsFor([mark('a', 100), cue('b', 100.5, 1)], track, marked).map(
      (v) => v.reasons.find((r) => r.key === 'overview-merge')?.outcome,
    );
    expect(merged).toEqual(['weakened', 'weakened']);
  });

  it('the place that is offered is a beat at least a column away', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5, max: 350, noNaN: true }),
        fc.double({ min: 0.01, max: 0.89, noNaN: true }),
        (t, gap) => {
          const [, b] = verdictsFor([mark('a', t), mark('b', t + gap)], track, marked);
          const move = b.reasons.flatMap((r) => r.remedies).find((r) => r.action === 'move-to');
          expect(move).toBeDefined();
          const to = (move as { time: number }).time;
          expect(to - t).toBeGreaterThanOrEqual(0.9 - 1e-9);
          expect(to - t).toBeLessThan(0.9 + 1.5 * BEAT);
          expect(Math.abs((to - 0.1) / BEAT - Math.round((to - 0.1) / BEAT))).toBeLessThan(1e-6);
        },
      ),
    );
  });
});

describe('quantise', () => {
  it('at 128 bpm and a step of one beat moves no cue by more than 234.4 ms', () => {
    let most = 0;
    fc.assert(
      fc.property(fc.double({ min: 0.2, max: 350, noNaN: true }), (time) => {
        const [{ reasons }] = verdictsFor([cue('a', time, 1)], track, strip);
        const shift = Number(reasons.find((r) => r.key === 'quantise-moves-cue')?.params.shift ?? 0);
        most = Math.max(most, Math.abs(shift));
        expect(Math.abs(shift)).toBeLessThanOrEqual(0.2344);
      }),
      { numRuns: 300 },
    );
    // The bound is nearly reached, so it is the bound.
    expect(most).toBeGreaterThan(0.22);
  });

  it('follows a grid whose tempo changes', () => {
    // 120 bpm up to beat 100 (at 50 s), then 60 bpm: beat 110.3 is at 60.3 s and goes to beat 110, 300 ms earlier.
    const grid = {
      ...constantGrid(120, DURATION),
      kind: 'variable' as const,
      segments: [
        { startBeat: 0, startTime: 0, bpm: 120 },
        { startBeat: 100, startTime: 50, bpm: 60 },
      ],
    };
    const [{ reasons }] = verdictsFor([cue('a', timeOfBeat(grid, 110.3), 1)], judged({ grid }), strip);
    expect(reasons[0].params).toMatchObject({
      shift: expect.closeTo(-0.3, 9),
      beats: expect.closeTo(-0.3, 9),
    });
  });

  it('before the first beat goes to the next one, which is inside the track', () => {
    // Beat 0 at 0.1 s: 0.02 s is nearest to it (80 ms), and beat −1 would be at −0.37 s.
    const [{ reasons }] = verdictsFor([cue('a', 0.02, 1)], track, strip);
    expect(reasons[0].params.shift).toBeCloseTo(0.08, 9);
  });

  it('a loop shorter than the step comes out one step long', () => {
    // In at beat 8.1 goes to 8; out at 8.3 would go to 8 as well, so it goes to 9: 0.7 beats later, 328 ms.
    const [{ reasons }] = verdictsFor([loop('a', 8.1, 0.2, { beats: null })], track, strip);
    const params = reasons.find((r) => r.key === 'quantise-moves-loop')!.params;
    expect(params.startShift).toBeCloseTo(-0.1 * BEAT, 9);
    expect(params.endShift).toBeCloseTo(0.7 * BEAT, 9);
  });
});

describe('loop lengths that a deck reaches', () => {
  const beatsOn = (profile: typeof wide) => reachableLengths(profile, BEAT).map(({ beats }) => beats);

  it('halves down to the shortest and doubles up', () => {
    // 4 and 8 at once; 1/32 is 7 halvings of 4.
    expect(reachableLengths(DECKS[1], BEAT)[0]).toEqual({ beats: 1 / 32, presses: 7 });
    expect(beatsOn(wide)[0]).toBe(1 / 64);
    expect(reachableLengths(wide, BEAT).find(({ beats }) => beats === 16)).toEqual({ beats: 16, presses: 1 });
  });

  it('down to a frame is as many beats as the tempo makes it', () => {
    // A frame of 1/75 s is 0.0284 beats at 128 bpm: 4/128 = 0.03125 is longer, 4/256 shorter.
    expect(beatsOn(poor)).toEqual([1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 4]);
    // At 240 bpm it is 0.053 beats: 1/16 is the shortest that is longer.
    expect(reachableLengths(poor, 0.25)[0].beats).toBe(1 / 16);
  });
});

it('formats are told by container where the sound is plain, by codec where it is not', () => {
  const of = (container: string, codec: string) => fileFormatOf({ ...WAV, container, codec });
  expect(of('wav', 'pcm')).toBe('wav');
  expect(of('aiff', 'float')).toBe('aiff');
  expect(of('m4a', 'alac')).toBe('alac');
  expect(of('aac', 'aac')).toBe('aac');
  expect(of('ogg', 'vorbis')).toBe('vorbis');
  expect(of('ogg', 'flac')).toBeNull();
  expect(of('wav', 'ulaw')).toBeNull();
});

describe('verdicts', () => {
  const markers: Marker[] = [
    mark('late', 300, { name: 'Outro' }),
    cue('four', beat(40), 4, { colour: '#c05a2b' }),
    loop('odd', 64.5, 6),
    cue('one', beat(0), 1),
  ];

  it('come in the order of the markers, each by its deck', () => {
    const verdicts = verdictsFor(markers, track, poor);
    expect(verdicts.map((v) => v.markerId)).toEqual(['late', 'four', 'odd', 'one']);
    expect(verdicts.every((v) => v.profileId === 'overview-only')).toBe(true);
  });

  it('tell the worst reason first, and the outcome is the worst', () => {
    for (const profile of DECKS) {
      for (const { outcome, reasons } of verdictsFor(markers, track, profile)) {
        expect(outcome).toBe(reasons[0]?.outcome ?? 'holds');
        const outcomes = reasons.map((r) => r.outcome);
        expect(outcomes).toEqual([...outcomes].sort());
      }
    }
    expect(verdictsFor(markers, track, poor)[2].reasons.map((r) => r.outcome)).toContain('weakened');
  });

  it('make a table of a row per marker and a column per deck', () => {
    const table = verdictTable(markers, track, DECKS);
    expect(table.map((row) => row.marker)).toEqual(markers);
    for (const [i, row] of table.entries()) {
      expect(row.verdicts).toEqual(DECKS.map((profile) => verdictsFor(markers, track, profile)[i]));
    }
  });

  it('hang on the facts of a profile and not on its name', () => {
    const renamed = { ...poor, id: 'x', name: 'X', era: '', description: '', richness: 999 };
    const bare = (profile: typeof poor) => verdictsFor(markers, track, profile).map((v) => v.reasons);
    expect(bare(renamed)).toEqual(bare(poor));
  });

  it('do not change what they judge', () => {
    const before = JSON.stringify(markers);
    verdictTable(markers, track, DECKS);
    expect(JSON.stringify(markers)).toBe(before);
  });

  it('are told in whole sentences, whatever the markers', () => {
    const times = fc.double({ min: 0, max: DURATION - 10, noNaN: true });
    const common = {
      name: fc.constantFrom('', 'Drop'),
      importance: fc.constantFrom(1 as const, 2 as const, 3 as const),
    };
    const any = fc.oneof(
      fc
        .record({
          time: times,
          slot: fc.option(fc.integer({ min: 1, max: 8 })),
          colour: fc.constantFrom(null, '#c05a2b', '#2b8ac0'),
          ...common,
        })
        .map((m) => ({ kind: 'cue' as const, ...m })),
      fc.record({ time: times, ...common }).map((m) => ({ kind: 'mark' as const, ...m })),
      fc
        .record({
          time: times,
          length: fc.double({ min: 0.01, max: 10, noNaN: true }),
          inBeats: fc.boolean(),
          ...common,
        })
        .map(({ length, inBeats, ...m }) => ({
          kind: 'loop' as const,
          ...m,
          endTime: m.time + length,
          beats: inBeats ? (length * BPM) / 60 : null,
        })),
    );
    fc.assert(
      fc.property(fc.array(any, { minLength: 1, maxLength: 30 }), (list) => {
        const all = list.map((m, i) => ({ ...m, id: `m${i}` })) as Marker[];
        for (const { verdicts } of verdictTable(all, track, [...DECKS, marked])) {
          for (const { outcome, reasons } of verdicts) {
            expect(outcomeWord(outcome)).toMatch(/^(Holds|Weakened|Lost)$/);
            for (const reason of reasons) {
              expect(reasonSentence(reason)).toMatch(/^[A-Z0-9“].*\.$/);
              expect(reasonSentence(reason)).not.toMatch(/NaN|undefined|null|Infinity|-/);
              expect(reason.remedies.length).toBeGreaterThan(0);
              for (const remedy of reason.remedies)
                expect(remedyLabel(remedy)).not.toMatch(/NaN|undefined|null/);
            }
          }
        }
      }),
      { numRuns: 40 },
    );
  });

  it('of a key that nobody knows there are no words', () => {
    expect(() => reasonSentence({ key: 'toString', params: {} })).toThrow(RangeError);
    expect(() => remedyLabel({ action: 'advice', key: 'toString' })).toThrow(RangeError);
  });
});
