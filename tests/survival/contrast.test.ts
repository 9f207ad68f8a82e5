import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { overviewColumns } from '../../shared/display/model.ts';
import { noGrid } from '../../shared/grid/grid.ts';
import { contrastAt, LEAST_COLUMNS, VISIBLE_CONTRAST } from '../../shared/survival/contrast.ts';
import { cliffsDelta } from '../../shared/survival/effect.ts';
import { judgedPicture } from '../../shared/survival/picture.ts';
import { constantGrid, print, pyramidOf } from '../display/tracks.ts';
import {
  HOP,
  bassChange,
  beat,
  BEAT,
  deck,
  DECKS,
  DURATION,
  GRID,
  judged,
  poor,
  small,
  strip,
  wide,
} from './helpers.ts';

const counts = (...values: number[]) => Uint32Array.from(values);

describe("Cliff's delta", () => {
  it('of two lists worked out by hand', () => {
    // Before 0, 1, 1; after 1, 2. Of six pairs (after, before): 1>0, 1=1, 1=1, 2>0, 2>1, 2>1: four larger, none
    // smaller: 4/6.
    expect(cliffsDelta(counts(1, 2, 0), counts(0, 1, 1))).toBeCloseTo(4 / 6, 12);
    // With a margin of two steps only 2 against 0 counts: 1/6.
    expect(cliffsDelta(counts(1, 2, 0), counts(0, 1, 1), 2)).toBeCloseTo(1 / 6, 12);
    expect(cliffsDelta(counts(1, 2, 0), counts(0, 1, 1), 3)).toBe(0);
  });

  it('is 1 where all are larger, −1 where all are smaller, 0 between equals and against nothing', () => {
    expect(cliffsDelta(counts(5, 0, 0), counts(0, 0, 2))).toBe(1);
    expect(cliffsDelta(counts(0, 0, 5), counts(3, 0, 0))).toBe(-1);
    expect(cliffsDelta(counts(1, 2, 3), counts(2, 4, 6))).toBe(0);
    expect(cliffsDelta(counts(0, 0), counts(0, 1))).toBe(0);
  });

  it('agrees with all pairs compared one by one, and turns its sign with its sides', () => {
    const list = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 20 });
    fc.assert(
      fc.property(list, list, fc.integer({ min: 1, max: 12 }), (before, after, margin) => {
        const of = (values: number[]) =>
          Uint32Array.from({ length: 10 }, (_, i) => values.filter((v) => v === i).length);
        let balance = 0;
        for (const a of after)
          for (const b of before) balance += a - b >= margin ? 1 : b - a >= margin ? -1 : 0;
        const delta = cliffsDelta(of(before), of(after), margin);
        expect(delta).toBeCloseTo(balance / (before.length * after.length), 12);
        expect(cliffsDelta(of(after), of(before), margin)).toBeCloseTo(-delta, 12);
      }),
    );
  });
});

describe('the picture that is judged', () => {
  it('is the nearest zoom stop that shows both sides', () => {
    // 16 bars at 128 bpm are 30 s: the stop of 48 s on 1280 columns, of 32 s on 800; no stop of the third deck is so
    // wide, so its widest, 16 s on 480; 360 s on 400 where nothing scrolls.
    const widths = DECKS.map((profile) => judgedPicture(judged(), profile).secondsPerColumn);
    expect(widths).toEqual([48 / 1280, 32 / 800, 16 / 480, 360 / 400]);
    // At 174 bpm they are 22.1 s, which the stop of 24 s shows.
    const fast = judged({ grid: constantGrid(174, DURATION) });
    expect(judgedPicture(fast, wide).secondsPerColumn).toBe(24 / 1280);
  });
});

describe('windows', () => {
  const track = judged({}, bassChange(256, 0.1, 0.9));

  it('are eight bars to each side', () => {
    // 8 bars are 32 × 0.46875 = 15 s: on columns of 37.5 ms 400 to a side, but for those cut by an edge.
    const contrast = contrastAt(track, wide, beat(256))!;
    expect(contrast.windowBars).toBe(8);
    expect(contrast.secondsBefore).toBeCloseTo(15, 9);
    expect(contrast.secondsAfter).toBeCloseTo(15, 9);
    expect(contrast.columnsBefore).toBe(399);
    expect(contrast.columnsAfter).toBe(399);
    // 15 s on columns of 0.9 s: 16 whole ones at most.
    expect(contrastAt(track, poor, beat(256))!.columnsBefore).toBeLessThanOrEqual(16);
  });

  it('are as many whole bars as both sides have near the ends', () => {
    expect(contrastAt(track, wide, beat(20))?.windowBars).toBe(5);
    expect(contrastAt(track, wide, beat(4))?.windowBars).toBe(1);
    expect(contrastAt(track, wide, beat(3))).toBeNull();
    expect(contrastAt(track, wide, 0)).toBeNull();
    expect(contrastAt(track, wide, DURATION - 10 * BEAT)?.windowBars).toBe(2);
    expect(contrastAt(track, wide, DURATION)).toBeNull();
  });

  it('of too few columns tell nothing', () => {
    // One bar of 1.875 s has two columns of 0.9 s.
    expect(LEAST_COLUMNS).toBeGreaterThan(2);
    expect(contrastAt(track, poor, beat(4))).toBeNull();
    expect(contrastAt(track, poor, beat(12))?.windowBars).toBe(3);
  });

  it('without a grid are 15 s, fewer near the ends', () => {
    const beatless = judged({ grid: noGrid(DURATION) }, bassChange(256, 0.1, 0.9));
    expect(contrastAt(beatless, wide, 120)).toMatchObject({
      windowBars: null,
      secondsBefore: 15,
      secondsAfter: 15,
    });
    expect(contrastAt(beatless, wide, 5)).toMatchObject({ secondsBefore: 5, secondsAfter: 5 });
    expect(contrastAt(beatless, wide, 1)).toBeNull();
  });

  it('follow a corrected grid, whose results are kept apart', () => {
    const slow = { ...track, grid: constantGrid(64, DURATION) };
    expect(contrastAt(track, wide, 120)?.secondsBefore).toBeCloseTo(15, 9);
    expect(contrastAt(slow, wide, 120)?.secondsBefore).toBeCloseTo(30, 9);
  });

  it('are measured once for a time', () => {
    expect(contrastAt(track, wide, 99)).toBe(contrastAt(track, wide, 99));
  });
});

describe('contrast', () => {
  it('is 1 where silence ends, on every deck', () => {
    const loud = { peak: 0.9, rms: 0.6 };
    const track = judged({}, (_, i) => (i * HOP < beat(256) ? { peak: 0, rms: 0 } : loud));
    for (const profile of DECKS) {
      // A column that is cut by the time belongs to neither side.
      expect(contrastAt(track, profile, beat(256))?.value).toBeGreaterThan(0.99);
      expect(contrastAt(track, profile, beat(256))?.layers[0].delta).toBeGreaterThan(0.99);
      expect(contrastAt(track, profile, beat(128))?.value).toBe(0);
    }
  });

  it('tells in which layer, and which way', () => {
    const track = judged({}, bassChange(256, 0.8, 0.02));
    const { layers, value } = contrastAt(track, wide, beat(256))!;
    expect(layers.map(({ layer }) => layer)).toEqual(['bass', 'middle', 'treble']);
    // Not all of it: the troughs between the beats are as low before as after.
    expect(layers[0].delta).toBeLessThan(-0.7);
    expect(Math.abs(layers[1].delta)).toBeLessThan(0.05);
    expect(value).toBe(-layers[0].delta);
  });

  it('of the shades counts where the heights stay', () => {
    // The whole keeps its level while the treble takes the place of the bass: only the hue moves, towards treble.
    const track = judged({}, (layer, i) => {
      const level = i * HOP < beat(256) ? [0.8, 0.3, 0.05, 0.8] : [0.05, 0.3, 0.8, 0.8];
      return { peak: level[layer], rms: level[layer] * 0.6 };
    });
    const at = (profile: typeof wide) => contrastAt(track, profile, beat(256))!;
    expect(at(small).layers).toEqual([
      { layer: 'height', delta: 0 },
      { layer: 'shade', delta: expect.closeTo(1, 6) },
    ]);
    expect(at(strip).value).toBeGreaterThan(VISIBLE_CONTRAST);
    expect(at(poor)).toMatchObject({ value: 0, layers: [{ layer: 'height', delta: 0 }] });
  });

  it('of columns without height has no shade', () => {
    const track = judged({}, (_, i) => (i * HOP < beat(256) ? { peak: 0, rms: 0 } : { peak: 0.9, rms: 0.6 }));
    expect(contrastAt(track, small, beat(256))!.layers[1]).toEqual({ layer: 'shade', delta: 0 });
  });

  it('does not know what the deck does not show', () => {
    // Only the treble changes, and little of the whole: three bands show it, a flat colour does not.
    const levels = (treble: (time: number) => number) => (layer: number, i: number) => {
      const peak = [0.6, 0.5, treble(i * HOP), 0.8][layer];
      return { peak, rms: peak * 0.6 };
    };
    const changing = judged(
      {},
      levels((t) => (t < beat(256) ? 0.05 : 0.6)),
    );
    const still = judged(
      {},
      levels(() => 0.05),
    );
    expect(contrastAt(changing, wide, beat(256))!.value).toBeGreaterThan(0.9);
    expect(print(overviewColumns(changing, poor))).toBe(print(overviewColumns(still, poor)));
    expect(contrastAt(changing, poor, beat(256))).toEqual(contrastAt(still, poor, beat(256)));
  });

  it('does not see what is smaller than the margin', () => {
    // 72 heights: 1/24 of them are three steps. 0.50^0.6 × 72 = 47.5 against 0.515^0.6 × 72 = 48.3: one step.
    const flat = (before: number, after: number) => ({
      duration: DURATION,
      grid: GRID,
      pyramid: pyramidOf(
        DURATION,
        (_, i) => {
          const level = i * HOP < beat(256) ? before : after;
          return { peak: level, rms: level * Math.SQRT1_2 };
        },
        HOP,
      ),
    });
    const single = deck(wide, { waveform: { kinds: ['single'], colourSteps: 1 } });
    expect(contrastAt(flat(0.5, 0.515), single, beat(256))?.value).toBe(0);
    // 0.6^0.6 × 72 = 53.0: five steps.
    expect(contrastAt(flat(0.5, 0.6), single, beat(256))?.value).toBeGreaterThan(0.99);
  });
});
