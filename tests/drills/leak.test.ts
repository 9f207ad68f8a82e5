/** No drill can be answered from something that the deck does not show, nor from how its item is written down. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DRILLS } from '../../shared/drills/kinds/index.ts';
import type { Place } from '../../shared/drills/kinds/kind.ts';
import { availableKeys, itemFor, makeItems } from '../../shared/drills/make.ts';
import { seeded } from '../../shared/drills/random.ts';
import type { DrillKind, DrillTrack, Shown } from '../../shared/drills/types.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { sequence } from '../display/tracks.ts';
import { DECKS, LIBRARY, poor, printed, small, strip, track, wide } from './tracks.ts';

const seeds = fc.integer({ min: 1, max: 2 ** 31 });

/** What is shown when this place is asked about on this deck. */
function shownFor(kind: DrillKind, place: Place, deck: DeckProfile, seed: number, tracks = LIBRARY): Shown {
  const all = [place.track, ...tracks.filter(({ id }) => id !== place.track.id)];
  const context = { deck, shownOn: deck, rich: wide, tracks: all, random: seeded(seed) };
  const made = DRILLS[kind].make(place, context);
  if (!made) throw new Error('This place cannot be asked about.');
  return made.shown;
}

const placeOf = (kind: DrillKind, of: DrillTrack, deck: DeckProfile, at = 0): Place =>
  DRILLS[kind].places(of, deck, LIBRARY)[at];

describe('two tracks that differ only in what is hidden are shown alike', () => {
  const [plain] = LIBRARY;

  it('where the sections are: to every overview', () => {
    const { sections } = plain.analysis;
    const bars = (n: number) => (n * 4 * 60) / plain.analysis.grid.segments[0].bpm;
    const moved: DrillTrack = {
      ...plain,
      analysis: {
        ...plain.analysis,
        sections: sections.map((s, i) => ({
          ...s,
          startTime: i ? s.startTime + bars(4) : 0,
          endTime: i < sections.length - 1 ? s.endTime + bars(4) : s.endTime,
        })),
      },
    };
    for (const kind of ['find-drop', 'find-breakdown', 'find-mix-out'] as const) {
      for (const deck of DECKS) {
        const [a, b] = [plain, moved].map((each) => placeOf(kind, each, deck));
        expect(a.time).not.toBeCloseTo(b.time, 1);
        expect(printed(shownFor(kind, a, deck, 1))).toBe(printed(shownFor(kind, b, deck, 1)));
      }
    }
  });

  it('how many bars it is to the change: with the playhead at the same place', () => {
    for (const deck of [wide, small, strip]) {
      const places = DRILLS['bars-to-change'].places(plain, deck, LIBRARY);
      const [place] = places.filter(({ params }) => params.bars === 2);
      const other = { ...place, params: { ...place.params, bars: 3 } };
      expect(printed(shownFor('bars-to-change', place, deck, 1))).toBe(
        printed(shownFor('bars-to-change', other, deck, 1)),
      );
      // It can fail: elsewhere the picture is another one.
      const [away] = places.filter(({ params }) => params.bars === 3);
      expect(printed(shownFor('bars-to-change', place, deck, 1))).not.toBe(
        printed(shownFor('bars-to-change', away, deck, 1)),
      );
    }
  });

  it('which band is the bass: to an overview of one flat colour, while the answer differs', () => {
    const swapped = track({ seed: 1, bpm: 124, bands: [1, 0, 2] });
    const isIn = (each: DrillTrack, time: number) =>
      DRILLS['bass-here'].places(each, poor, LIBRARY).find((p) => Math.abs(p.time - time) < 1e-6)?.params.in;
    const places = DRILLS['bass-here'].places(plain, poor, LIBRARY);
    const place = places.find(({ time, params }) => isIn(swapped, time) === 1 - params.in);
    if (!place) throw new Error('The two tracks have the same bass everywhere.');
    const twin = { ...place, track: swapped };
    expect(printed(shownFor('bass-here', place, poor, 1))).toBe(
      printed(shownFor('bass-here', twin, poor, 1)),
    );
    expect(printed(shownFor('bass-here', place, wide, 1))).not.toBe(
      printed(shownFor('bass-here', twin, wide, 1)),
    );
  });

  it('which beat is the first of its bar: to a deck that draws beats only', () => {
    const turned: DrillTrack = {
      ...plain,
      analysis: { ...plain.analysis, grid: { ...plain.analysis.grid, firstBeatInBar: 2 } },
    };
    const place = placeOf('bars-to-change', plain, strip);
    const twin = { ...place, track: turned };
    const print = (p: Place, deck: DeckProfile) => printed(shownFor('bars-to-change', p, deck, 1));
    expect(print(place, strip)).toBe(print(twin, strip));
    expect(print(place, small)).not.toBe(print(twin, small));
  });

  it('confidence, names, reasons, title and id: to every drill on every deck', () => {
    const secret = LIBRARY.map((each, i): DrillTrack => ({
      ...each,
      id: `other-${i}`,
      title: 'Unlike',
      analysis: {
        ...each.analysis,
        grid: { ...each.analysis.grid, confidence: 0.85, downbeatConfidence: 0.9, phraseOffsetBars: 3 },
        sections: each.analysis.sections.map((s) => ({ ...s, strength: 0.5, why: 'hidden', energy: 0.1 })),
      },
    }));
    const options = { withSound: true, baselines: true };
    const a = makeItems(LIBRARY, DECKS, options, seeded(21));
    const b = makeItems(secret, DECKS, options, seeded(21));
    expect(a.length).toBe(b.length);
    a.forEach((item, i) => expect(printed(item.shown)).toBe(printed(b[i].shown)));
  });

  it('a phase apart by less than the read-out shows', () => {
    // Stacked waveforms are read off the audio itself; blocks and ticks have steps that are theirs.
    fc.assert(
      fc.property(seeds, (seed) => {
        const place = placeOf('phase-compare', plain, strip);
        const exact = shownFor('phase-compare', place, strip, seed);
        const nudged = { ...place, track: nudgedGrid(plain, 1e-3) };
        expect(printed(exact)).toBe(printed(shownFor('phase-compare', nudged, strip, seed)));
      }),
      { numRuns: 20 },
    );
  });
});

/** The same track with its beats moved a little: what a read-out of beats does not show. */
function nudgedGrid(of: DrillTrack, seconds: number): DrillTrack {
  const { grid } = of.analysis;
  const segments = grid.segments.map((s) => ({ ...s, startTime: s.startTime + seconds }));
  return { ...of, analysis: { ...of.analysis, grid: { ...grid, segments } } };
}

describe('the shown part does not hold its answer', () => {
  const keys = availableKeys(LIBRARY, DECKS);
  const anyItem = fc.record({
    key: fc.constantFrom(...keys),
    seed: seeds,
    onRich: fc.boolean(),
    withSound: fc.boolean(),
  });

  it('in words, ids or numbers, and is plain data', () => {
    fc.assert(
      fc.property(anyItem, ({ key: { key, baseline }, seed, onRich, withSound }) => {
        const item = itemFor({ key, seed, baseline: baseline && onRich, withSound }, LIBRARY, DECKS);
        if (!item) throw new Error(`${key} was not made`);
        const text = printed(item.shown);
        expect(text).not.toMatch(/track-|Pewter|answer|held|sound|trackId|section|intro|outro|deckId/);
        const { answer } = item.held;
        if (answer.type === 'time') {
          for (const number of text.match(/-?\d+(\.\d+)?(e-?\d+)?/g) ?? []) {
            expect(Math.abs(Number(number) - answer.time)).toBeGreaterThan(1e-9);
          }
        }
        expect(structuredClone(item)).toEqual(item);
      }),
      { numRuns: 150 },
    );
  });

  it('in anything about the strips to choose from but their pictures', () => {
    fc.assert(
      fc.property(anyItem, ({ key: { key }, seed }) => {
        const item = itemFor({ key, seed, baseline: false, withSound: true }, LIBRARY, DECKS);
        const options = item?.shown.options ?? [];
        const axes = options.map(({ columns, markColumn }) => {
          const { startTime, secondsPerColumn, kind, heightSteps, colourSteps } = columns;
          return JSON.stringify([
            startTime,
            secondsPerColumn,
            kind,
            heightSteps,
            colourSteps,
            markColumn === null,
          ]);
        });
        expect(new Set(axes).size).toBeLessThanOrEqual(1);
        for (const { columns } of options) expect(columns.startTime).toBe(0);
      }),
      { numRuns: 100 },
    );
  });

  it('in the order of the choices: each place is right about as often', () => {
    const random = sequence(77);
    for (const [drill, choices] of [
      ['heard-strip', 4],
      ['energy-clash', 4],
      ['phase-compare', 3],
      ['bass-here', 2],
    ] as const) {
      const counts = new Array<number>(choices).fill(0);
      const some = keys.filter((key) => key.drill === drill && key.deckId === 'touch-strip');
      const runs = 240;
      for (let i = 0; i < runs; i++) {
        const { key } = some[i % some.length];
        const seed = 1 + Math.floor(random() * 1e9);
        const item = itemFor({ key, seed, baseline: false, withSound: false }, LIBRARY, DECKS);
        if (item?.held.answer.type === 'choice') counts[item.held.answer.index]++;
      }
      const made = counts.reduce((a, b) => a + b, 0);
      expect(made).toBe(runs);
      // Five standard deviations of a fair draw.
      const slack = 5 * Math.sqrt((runs * (choices - 1)) / choices ** 2);
      for (const count of counts) expect(Math.abs(count - runs / choices)).toBeLessThanOrEqual(slack);
    }
  });
});
