/** What the display model shows: lattice, joining, kinds, grid lines, overview. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { DisplayColumns } from '../../shared/display/columns.ts';
import { heightOfLevel } from '../../shared/display/heights.ts';
import { kindOn, overviewColumns, scrollingColumns, visibleSeconds } from '../../shared/display/model.ts';
import { timeOfBeat } from '../../shared/grid/grid.ts';
import { readPyramid } from '../../shared/pyramid.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { shippedDeck } from '../profiles/files.ts';
import { constantGrid, FULL, pyramidOf, randomLevels, trackOf } from './tracks.ts';

const wide = shippedDeck('wide-touch');
const small = shippedDeck('small-touch');
const strip = shippedDeck('touch-strip');
const poor = shippedDeck('overview-only');

const DURATION = 60;
const track = trackOf(DURATION, randomLevels(1), constantGrid(126, DURATION));
const MANY = 100_000;

function shown(columns: DisplayColumns | null): DisplayColumns {
  if (!columns) throw new Error('nothing scrolls');
  return columns;
}

const see = (deck: DeckProfile, startTime: number, endTime: number, more = {}) =>
  shown(
    scrollingColumns(track, deck, 'tint', { startTime, endTime, zoomStop: 1, maxColumns: MANY, ...more }),
  );

describe('scrolling columns', () => {
  it('are none on a deck that does not scroll', () => {
    const view = { startTime: 0, endTime: 8, zoomStop: 0, maxColumns: 800 };
    expect(scrollingColumns(track, poor, 'single', view)).toBeNull();
    expect(kindOn(poor, 'single')).toBeNull();
    expect(visibleSeconds(poor, 0)).toBeNull();
  });

  it('are as many for one screenful as the screen has', () => {
    for (const deck of [wide, small, strip]) {
      deck.waveform.zoomSeconds.forEach((seconds, zoomStop) => {
        if (seconds > DURATION) return;
        expect(see(deck, 0, seconds, { zoomStop }).count).toBe(deck.screen.columns);
      });
    }
  });

  it('show the kind that is asked for, or the best that the deck has', () => {
    expect(kindOn(wide, 'three-band')).toBe('three-band');
    expect(kindOn(small, 'three-band')).toBe('tint');
    expect(kindOn(small, 'single')).toBe('single');
    expect(see(wide, 0, 4).heights).toHaveLength(1);
    const bands = shown(
      scrollingColumns(track, wide, 'three-band', {
        startTime: 0,
        endTime: 4,
        zoomStop: 0,
        maxColumns: MANY,
      }),
    );
    expect(bands.kind).toBe('three-band');
    expect(bands.heights).toHaveLength(3);
    expect(bands.colourSteps).toBe(1);
    expect(bands.colours.every((colour) => colour === 0)).toBe(true);
  });

  it('use the nearest zoom stop where there is no such one', () => {
    expect(visibleSeconds(small, 99)).toBe(32);
    expect(visibleSeconds(small, -1)).toBe(4);
    expect(visibleSeconds(small, NaN)).toBe(4);
  });

  it('have the heights of the levels, in the deck’s steps', () => {
    const columns = see(small, 10, 12);
    const levels = readPyramid(track.pyramid, columns.startTime, columns.secondsPerColumn, columns.count);
    const expected = Array.from({ length: columns.count }, (_, i) =>
      heightOfLevel(levels.peak[FULL][i], levels.rms[FULL][i], small.waveform.heightSteps),
    );
    expect([...columns.heights[0]]).toEqual(expected);
    expect(new Set(expected).size).toBeGreaterThan(10);
  });

  it('stay within their steps, and silent columns have no colour', () => {
    for (const deck of [wide, small, strip]) {
      for (const kind of deck.waveform.kinds) {
        const view = { startTime: 0, endTime: DURATION, zoomStop: 0, maxColumns: MANY };
        const { heights, heightSteps, colours, colourSteps } = shown(
          scrollingColumns(track, deck, kind, view),
        );
        expect(heights.every((layer) => layer.every((h) => h <= heightSteps))).toBe(true);
        expect(colours.every((colour) => colour < colourSteps)).toBe(true);
        expect(heights[0].every((h, i) => h > 0 || kind === 'three-band' || colours[i] === 0)).toBe(true);
        if (kind !== 'three-band') expect(new Set(colours).size).toBeGreaterThan(3);
      }
    }
  });

  it('leave out what lies outside of the track', () => {
    const columns = see(small, -5, 2);
    expect(columns.startTime).toBe(0);
    expect(columns.count).toBe(200);
    const end = see(small, DURATION - 1, DURATION + 5);
    expect(end.startTime + end.count * end.secondsPerColumn).toBeCloseTo(DURATION, 6);
    expect(see(small, DURATION + 1, DURATION + 9).count).toBe(0);
    expect(see(small, -9, -1).count).toBe(0);
    expect(see(small, 5, 5).count).toBe(0);
  });

  it('do not shimmer: any two views agree wherever they overlap', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -4, max: DURATION, noNaN: true }),
        fc.double({ min: 0, max: 6, noNaN: true }),
        fc.double({ min: 1, max: 40, noNaN: true }),
        fc.integer({ min: 50, max: 2000 }),
        fc.constantFrom(wide, small, strip),
        (start, shift, span, maxColumns, deck) => {
          // One span, so that both join alike; rounding of the span decides nothing away from a power of two.
          const a = see(deck, start, start + span, { maxColumns });
          const b = see(deck, start + shift, start + shift + span, { maxColumns });
          fc.pre(a.secondsPerColumn === b.secondsPerColumn && a.count > 0 && b.count > 0);
          const firstOf = (columns: DisplayColumns) =>
            Math.round(columns.startTime / columns.secondsPerColumn);
          const offset = firstOf(b) - firstOf(a);
          const common = Math.max(0, Math.min(a.count - offset, b.count));
          expect(b.heights[0].subarray(0, common)).toEqual(a.heights[0].subarray(offset, offset + common));
          expect(b.colours.subarray(0, common)).toEqual(a.colours.subarray(offset, offset + common));
          expect(a.startTime).toBe(firstOf(a) * a.secondsPerColumn);
        },
      ),
    );
  });

  it('cover the view, and are no more than can be told apart (one more where the view cuts two)', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: DURATION - 1, noNaN: true }),
        fc.double({ min: 0.5, max: DURATION, noNaN: true }),
        fc.integer({ min: 1, max: 2000 }),
        (start, span, maxColumns) => {
          const columns = see(small, start, start + span, { maxColumns });
          const end = columns.startTime + columns.count * columns.secondsPerColumn;
          expect(columns.count).toBeLessThanOrEqual(maxColumns + 1);
          expect(columns.startTime).toBeLessThanOrEqual(start + 1e-6);
          expect(end).toBeGreaterThanOrEqual(Math.min(start + span, DURATION) - 1e-6);
          const joined = columns.secondsPerColumn / (8 / 800);
          expect(Math.log2(joined) % 1).toBeCloseTo(0, 9);
        },
      ),
    );
  });

  it('join whole columns: the tallest, with its colour', () => {
    const fine = see(small, 0, DURATION);
    const coarse = see(small, 0, DURATION, { maxColumns: Math.ceil(fine.count / 8) });
    expect(coarse.secondsPerColumn).toBeCloseTo(fine.secondsPerColumn * 8, 12);
    for (let i = 0; i < coarse.count; i++) {
      const part = [...fine.heights[0].subarray(i * 8, i * 8 + 8)];
      const tallest = Math.max(...part);
      expect(coarse.heights[0][i]).toBe(tallest);
      expect(coarse.colours[i]).toBe(fine.colours[i * 8 + part.indexOf(tallest)]);
    }
  });

  it('are the caller’s own: changing them changes no later picture', () => {
    const first = see(small, 0, 4);
    const copy = structuredClone(first);
    first.heights[0].fill(99);
    first.colours.fill(99);
    expect(see(small, 0, 4)).toEqual(copy);
  });
});

describe('grid lines', () => {
  const lines = (deck: DeckProfile, start: number, end: number, more = {}) =>
    see(deck, start, end, more).gridLines;

  it('tell bars from beats where the deck does, and stand in the column of their beat', () => {
    const { gridLines, secondsPerColumn } = see(small, 0, 8);
    const beats = Array.from({ length: 17 }, (_, beat) => timeOfBeat(track.grid, beat)).filter((t) => t < 8);
    expect(gridLines).toHaveLength(beats.length);
    gridLines.forEach((line, i) => {
      expect(line.kind).toBe(i % 4 === 0 ? 'downbeat' : 'beat');
      expect(Math.floor(line.time / secondsPerColumn)).toBe(Math.floor(beats[i] / secondsPerColumn + 1e-6));
    });
  });

  it('are all alike on a deck that shows beats only', () => {
    const kinds = lines(strip, 0, 8).map((line) => line.kind);
    expect(kinds).toHaveLength(17);
    expect(new Set(kinds)).toEqual(new Set(['beat']));
  });

  it('are none without a grid in the track or on the deck', () => {
    const bare = structuredClone(small);
    bare.waveform.grid = 'none';
    bare.waveform.gridPlace = 'nowhere';
    expect(lines(bare, 0, 8)).toEqual([]);
    const free = trackOf(8, randomLevels(2));
    const view = { startTime: 0, endTime: 8, zoomStop: 0, maxColumns: MANY };
    expect(shown(scrollingColumns(free, small, 'tint', view)).gridLines).toEqual([]);
  });

  it('belong to one part each when a view is painted in parts', () => {
    const times = fc.integer({ min: 1, max: 11_999 }).map((n) => n / 1000);
    fc.assert(
      fc.property(times, (seam) => {
        const parts = [...lines(small, 0, seam), ...lines(small, seam, 12)];
        expect(parts).toEqual(lines(small, 0, 12));
      }),
    );
    const { secondsPerColumn } = see(small, 0, 8);
    // Right behind a beat and still in its column.
    const behind = timeOfBeat(track.grid, 5) + secondsPerColumn / 100;
    expect([...lines(small, 0, behind), ...lines(small, behind, 12)]).toEqual(lines(small, 0, 12));
  });

  it('thin out with distance: beats, then bars, then none', () => {
    const kinds = (maxColumns: number) =>
      new Set(lines(small, 0, DURATION, { maxColumns }).map((line) => line.kind));
    expect(kinds(6000)).toEqual(new Set(['beat', 'downbeat']));
    expect(kinds(400)).toEqual(new Set(['downbeat']));
    expect(kinds(100)).toEqual(new Set());
    expect(lines(strip, 0, DURATION, { maxColumns: 400 })).toEqual([]);
  });
});

describe('the overview', () => {
  it.each([wide, small, strip, poor])('of $id is the whole track in its own columns and steps', (deck) => {
    const columns = overviewColumns(track, deck);
    expect(columns).toMatchObject({
      kind: deck.overview.kind,
      startTime: 0,
      count: deck.overview.columns,
      heightSteps: deck.overview.heightSteps,
      gridLines: [],
    });
    expect(columns.secondsPerColumn * columns.count).toBeCloseTo(DURATION, 9);
    for (const layer of columns.heights) {
      expect(layer).toHaveLength(columns.count);
      expect(Math.max(...layer)).toBeLessThanOrEqual(columns.heightSteps);
      expect(Math.max(...layer)).toBeGreaterThan(0);
    }
  });

  it('shows a loud half and a silent half where they are', () => {
    const half = trackOf(40, (_, i) => (i < 4000 ? { peak: 1, rms: Math.SQRT1_2 } : { peak: 0, rms: 0 }));
    const [heights] = overviewColumns(half, poor).heights;
    expect([...heights]).toEqual([...Array<number>(200).fill(8), ...Array<number>(200).fill(0)]);
  });

  it('of a track of no length has no columns', () => {
    expect(overviewColumns({ duration: 0, pyramid: pyramidOf(0, randomLevels(1)) }, poor)).toMatchObject({
      count: 0,
    });
  });
});
