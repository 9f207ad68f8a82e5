/**
 * What a deck does not show must not reach its columns: two tracks that differ in nothing else give equal
 * columns. Each case also shows that the difference does reach a deck that shows it, so that it can fail.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { DisplayColumns } from '../../shared/display/columns.ts';
import { overviewColumns, scrollingColumns } from '../../shared/display/model.ts';
import { noGrid } from '../../shared/grid/grid.ts';
import type { DeckProfile, WaveformKind } from '../../shared/profile/schema.ts';
import { shippedDeck } from '../profiles/files.ts';
import type { LevelAt, Track } from './tracks.ts';
import { constantGrid, FULL, pyramidOf, print, randomLevels, trackOf } from './tracks.ts';

const wide = shippedDeck('wide-touch');
const small = shippedDeck('small-touch');
const strip = shippedDeck('touch-strip');
const poor = shippedDeck('overview-only');

const DURATION = 16;
const view = { startTime: 0, endTime: DURATION, zoomStop: 1, maxColumns: 100_000 };

const scrolling = (track: Track, deck: DeckProfile, kind: WaveformKind, maxColumns = view.maxColumns) =>
  scrollingColumns(track, deck, kind, { ...view, maxColumns });
const seeds = fc.integer({ min: 1, max: 1_000_000 });
const few = { numRuns: 12 };

/** Runs a case over random tracks: `hidden` must be equal, `visible` must not. */
function holds(
  pair: (seed: number) => [Track, Track],
  hidden: ((track: Track) => DisplayColumns | null)[],
  visible: (track: Track) => DisplayColumns | null,
): void {
  fc.assert(
    fc.property(seeds, (seed) => {
      const [a, b] = pair(seed);
      for (const look of hidden) expect(print(look(a))).toBe(print(look(b)));
      expect(print(visible(a))).not.toBe(print(visible(b)));
    }),
    few,
  );
}

const withLayers =
  (seed: number, order: readonly number[]): LevelAt =>
  (layer, i) =>
    randomLevels(seed)(order[layer], i);

describe('nothing hidden leaks', () => {
  it('the grid, to a deck that draws none, and to any overview', () => {
    holds(
      (seed) => {
        const levels = randomLevels(seed);
        const bpm = 90 + (seed % 80);
        return [
          trackOf(DURATION, levels, constantGrid(bpm, DURATION)),
          trackOf(DURATION, levels, noGrid(DURATION)),
        ];
      },
      [
        ...[wide, small, strip, poor].map((deck) => (track: Track) => overviewColumns(track, deck)),
        (track) => scrolling(track, gridless(wide), 'three-band'),
        (track) => scrolling(track, poor, 'single'),
      ],
      (track) => scrolling(track, small, 'tint'),
    );
  });

  it('which beat is the first of its bar, to a deck that tells beats only', () => {
    holds(
      (seed) => [
        trackOf(DURATION, randomLevels(seed), constantGrid(126, DURATION)),
        trackOf(DURATION, randomLevels(seed), constantGrid(126, DURATION, { firstBeatInBar: 2 })),
      ],
      [(track) => scrolling(track, strip, 'tint'), (track) => scrolling(track, strip, 'tint', 300)],
      (track) => scrolling(track, small, 'tint'),
    );
  });

  it('confidence, regions and phrases of the grid, to every deck', () => {
    const levels = randomLevels(3);
    const plain = trackOf(DURATION, levels, constantGrid(126, DURATION));
    const rich = trackOf(
      DURATION,
      levels,
      constantGrid(126, DURATION, {
        confidence: 0.2,
        downbeatConfidence: 0.1,
        phraseOffsetBars: 5,
        regions: [{ startTime: 1, endTime: 2, confidence: 0.3 }],
      }),
    );
    for (const deck of [wide, small, strip]) {
      expect(print(scrolling(plain, deck, 'tint'))).toBe(print(scrolling(rich, deck, 'tint')));
    }
  });

  it('where in its column a beat falls', () => {
    // Small touch at 8 s in 800 columns: one column is 10 ms, and beats at 120 bpm keep their place in it.
    holds(
      (seed) =>
        [0.102, 0.108].map((startTime) =>
          trackOf(
            DURATION,
            randomLevels(seed),
            constantGrid(120, DURATION, { segments: [{ startBeat: 0, startTime, bpm: 120 }] }),
          ),
        ) as [Track, Track],
      [(track) => scrolling(track, small, 'tint'), (track) => scrolling(track, small, 'tint', 500)],
      (track) => scrolling(track, finest(wide), 'tint'),
    );
  });

  it('the bands, to an overview of one flat colour', () => {
    holds(
      (seed) => [
        trackOf(DURATION, randomLevels(seed)),
        trackOf(DURATION, (layer, i) => randomLevels(layer === FULL ? seed : seed + 1)(layer, i)),
      ],
      [(track) => overviewColumns(track, poor)],
      (track) => overviewColumns(track, small),
    );
  });

  it('what is bass and what is middle, to a single colour that tells only the share of treble', () => {
    holds(
      (seed) => [
        trackOf(DURATION, withLayers(seed, [0, 1, 2, FULL])),
        trackOf(DURATION, withLayers(seed, [1, 0, 2, FULL])),
      ],
      [
        (track) => scrolling(track, small, 'single'),
        (track) => scrolling(track, strip, 'single', 500),
        (track) => overviewColumns(track, strip),
      ],
      (track) => scrolling(track, small, 'tint'),
    );
  });

  it('the peaks of the bands, to any kind that shows the whole level', () => {
    holds(
      (seed) => [
        trackOf(DURATION, randomLevels(seed)),
        trackOf(DURATION, (layer, i) => {
          const { peak, rms } = randomLevels(seed)(layer, i);
          return { peak: layer === FULL ? peak : Math.min(1, peak * 1.5), rms };
        }),
      ],
      [(track) => scrolling(track, wide, 'tint'), (track) => scrolling(track, wide, 'single')],
      (track) => scrolling(track, wide, 'three-band'),
    );
  });

  it('the whole level, to a display of three bands', () => {
    holds(
      (seed) => [
        trackOf(DURATION, randomLevels(seed)),
        trackOf(DURATION, (layer, i) => randomLevels(layer === FULL ? seed + 1 : seed)(layer, i)),
      ],
      [(track) => scrolling(track, wide, 'three-band'), (track) => overviewColumns(track, wide)],
      (track) => scrolling(track, wide, 'single'),
    );
  });

  it('the colour of silence: levels too low for the first step leave no trace', () => {
    holds(
      (seed) => {
        const faint =
          (scale: number[]): LevelAt =>
          (layer, i) => {
            const { peak, rms } = randomLevels(seed)(layer, i);
            return { peak: peak * scale[layer], rms: rms * scale[layer] };
          };
        // 1e-5 is 100 dB below full scale.
        return [
          trackOf(DURATION, faint([1e-5, 2e-6, 0, 1e-5])),
          trackOf(DURATION, faint([0, 2e-6, 1e-3, 1e-5])),
        ];
      },
      [
        (track) => scrolling(track, small, 'tint'),
        (track) => scrolling(track, small, 'single'),
        (track) => overviewColumns(track, small),
      ],
      (track) => scrolling(track, finest(wide), 'three-band'),
    );
  });

  it('the order of events within one column', () => {
    // Touch strip at 16 s in 480 columns: one column is 1/30 s, eight hops of 1/240 s.
    const hop = 1 / 240;
    holds(
      (seed) => {
        const levels = randomLevels(seed);
        const turned: LevelAt = (layer, i) => levels(layer, i - (i % 4) + 3 - (i % 4));
        const [a, b] = [levels, turned].map((each) => ({
          duration: DURATION,
          pyramid: pyramidOf(DURATION, each, hop),
          grid: noGrid(DURATION),
        }));
        return [a, b];
      },
      [(track) => scrollingColumns(track, strip, 'tint', { ...view, zoomStop: 2 })],
      (track) => scrollingColumns(track, finest(wide), 'tint', { ...view, zoomStop: 0 }),
    );
  });

  it('a joined picture: it is made of the deck’s own columns and of nothing else', () => {
    fc.assert(
      fc.property(seeds, fc.constantFrom('three-band', 'tint', 'single'), (seed, kind) => {
        const a = trackOf(DURATION, randomLevels(seed));
        // Louder by a ten-thousandth: mostly too little for a step.
        const b = trackOf(DURATION, (layer, i) => {
          const { peak, rms } = randomLevels(seed)(layer, i);
          return { peak: peak * 1.0001, rms: rms * 1.0001 };
        });
        const [fineA, fineB] = [a, b].map((track) => scrolling(track, wide, kind));
        const [joinedA, joinedB] = [a, b].map((track) => scrolling(track, wide, kind, 200));
        const width = (joinedA?.secondsPerColumn ?? 0) / (fineA?.secondsPerColumn ?? 1);
        expect(width).toBeGreaterThan(1);
        const same = (i: number, x: DisplayColumns | null, y: DisplayColumns | null) =>
          x?.colours[i] === y?.colours[i] && x?.heights.every((layer, n) => layer[i] === y?.heights[n][i]);
        let unlike = 0;
        for (let i = 0; i < (joinedA?.count ?? 0); i++) {
          const parts = Array.from({ length: width }, (_, k) => i * width + k);
          if (parts.every((k) => same(k, fineA, fineB))) expect(same(i, joinedA, joinedB)).toBe(true);
          else unlike++;
        }
        expect(unlike).toBeLessThan(joinedA?.count ?? 0);
      }),
      few,
    );
  });

  it('what lies outside of the view', () => {
    holds(
      (seed) => [
        trackOf(DURATION, randomLevels(seed)),
        // From 12 s on (hop 2400) all is different.
        trackOf(DURATION, (layer, i) => randomLevels(i < 2400 ? seed : seed + 1)(layer, i)),
      ],
      [(track) => scrollingColumns(track, small, 'tint', { ...view, endTime: 8 })],
      (track) => scrollingColumns(track, small, 'tint', { ...view, endTime: 15 }),
    );
  });
});

function gridless(deck: DeckProfile): DeckProfile {
  return { ...deck, waveform: { ...deck.waveform, grid: 'none', gridPlace: 'nowhere' } };
}

/** A deck that could tell far more apart than any does. */
function finest(deck: DeckProfile): DeckProfile {
  return {
    ...deck,
    screen: { ...deck.screen, columns: 4096, rows: 2160 },
    waveform: { ...deck.waveform, heightSteps: 512 },
  };
}
