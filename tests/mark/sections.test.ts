import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LAYERS } from '../../shared/bands.ts';
import { beatAtTime, noGrid } from '../../shared/grid/grid.ts';
import type { Pyramid } from '../../shared/pyramid.ts';
import {
  deleteSection,
  type EditedSection,
  joinWithNext,
  LEAST_SECTION,
  moveBoundary,
  renameSection,
  sectionAt,
  SectionEditFault,
  snapAll,
  splitSection,
  wholeTrack,
} from '../../shared/sections/edit.ts';
import { measureEnergies } from '../../shared/sections/energy.ts';
import { snapToBar } from '../../shared/sections/snap.ts';
import { anyGrid, DURATION, grid } from './grids.ts';

const within = fc.double({ min: 0, max: DURATION, noNaN: true });

/** Sections with boundaries at `times` (rising, inside the track). */
function sections(...times: number[]): EditedSection[] {
  const starts = [0, ...times];
  return starts.map((startTime, i) => ({
    startTime,
    endTime: starts[i + 1] ?? DURATION,
    label: String.fromCharCode(65 + i),
    strength: i ? 0.6 : 1,
    why: i ? 'The bass comes in.' : 'The track starts here.',
    energy: 0.5 + i / 20,
  }));
}

function expectTiling(list: readonly EditedSection[]): void {
  expect(list[0].startTime).toBe(0);
  expect(list[list.length - 1].endTime).toBe(DURATION);
  list.forEach((s, i) => {
    expect(s.endTime - s.startTime).toBeGreaterThanOrEqual(LEAST_SECTION - 1e-9);
    if (i) expect(s.startTime).toBe(list[i - 1].endTime);
    expect(s.label.trim()).not.toBe('');
    expect(s.energy).toBeGreaterThanOrEqual(0);
    expect(s.energy).toBeLessThanOrEqual(1);
  });
}

type Edit = (list: EditedSection[]) => EditedSection[];
const edits = (g: Parameters<typeof snapToBar>[0]): fc.Arbitrary<Edit> => {
  const index = fc.nat(8);
  return fc.oneof(
    within.map(
      (t): Edit =>
        (list) =>
          splitSection(list, t, g),
    ),
    index.map(
      (i): Edit =>
        (list) =>
          joinWithNext(list, i % list.length),
    ),
    index.map(
      (i): Edit =>
        (list) =>
          deleteSection(list, i % list.length),
    ),
    fc.tuple(index, fc.string()).map(
      ([i, name]): Edit =>
        (list) =>
          renameSection(list, i % list.length, name),
    ),
    fc.tuple(index, within).map(
      ([i, t]): Edit =>
        (list) =>
          moveBoundary(list, i % list.length, t, g),
    ),
    fc.constant<Edit>((list) => snapAll(list, g)),
  );
};

describe('sections', () => {
  test('cover the track without gaps, whatever is done to them', () => {
    const grids = fc.oneof(anyGrid, fc.constant(noGrid(DURATION)));
    const cases = grids.chain((g) => fc.array(edits(g), { minLength: 1, maxLength: 25 }));
    let made = 0;
    fc.assert(
      fc.property(cases, (list) => {
        let now = wholeTrack([], DURATION);
        for (const edit of list) {
          const before = structuredClone(now);
          try {
            const next = edit(now);
            expect(now).toEqual(before);
            now = next;
            made++;
          } catch (error) {
            expect(error).toBeInstanceOf(SectionEditFault);
          }
          expectTiling(now);
        }
      }),
    );
    expect(made).toBeGreaterThan(100);
  });

  test('are split on a bar, both halves named alike, the new boundary marked as set by hand', () => {
    const g = grid();
    const split = splitSection(sections(60, 120), 90.3, g);
    expect(split.map((s) => s.label)).toEqual(['A', 'B', 'B', 'C']);
    const bar = beatAtTime(g, split[2].startTime) / 4;
    expect(bar).toBeCloseTo(Math.round(bar), 6);
    expect(Math.abs(split[2].startTime - 90.3)).toBeLessThanOrEqual(120 / 124 + 1e-9);
    expect(split.map((s) => s.byHand ?? false)).toEqual([false, false, true, false]);
    expect(() => splitSection(split, 90.3, g)).toThrow(/boundary here already/);
  });

  test('join, vanish and move as the person says', () => {
    const list = sections(60, 120, 180);
    expect(joinWithNext(list, 1).map((s) => [s.label, s.startTime, s.endTime])).toEqual([
      ['A', 0, 60],
      ['B', 60, 180],
      ['D', 180, DURATION],
    ]);
    expect(() => joinWithNext(list, 3)).toThrow(/last section/);
    expect(deleteSection(list, 2).map((s) => [s.label, s.startTime])).toEqual([
      ['A', 0],
      ['B', 60],
      ['D', 180],
    ]);
    expect(deleteSection(list, 0).map((s) => [s.label, s.startTime, s.why])).toEqual([
      ['B', 0, 'The track starts here.'],
      ['C', 120, 'The bass comes in.'],
      ['D', 180, 'The bass comes in.'],
    ]);
    expect(() => deleteSection(sections(), 0)).toThrow(/at least one/);
    const moved = moveBoundary(list, 2, 130, noGrid(DURATION));
    expect(moved[1].endTime).toBe(130);
    expect(moved[2]).toMatchObject({ startTime: 130, byHand: true });
    expect(() => moveBoundary(list, 2, 181, noGrid(DURATION))).toThrow(/pass its neighbour/);
    expect(() => moveBoundary(list, 0, 5, noGrid(DURATION))).toThrow(/starts with the track/);
  });

  test('take any name but none', () => {
    expect(renameSection(sections(60), 1, '  second   drop ')[1].label).toBe('second drop');
    expect(() => renameSection(sections(60), 1, '   ')).toThrow(/needs a name/);
    expect(() => renameSection(sections(60), 1, 'x'.repeat(41))).toThrow(/too long/);
    expect(() => renameSection(sections(60), 9, 'x')).toThrow(/no such section/);
  });

  test('the one that sounds at a time is found', () => {
    const list = sections(60, 120);
    expect([-1, 0, 59.99, 60, 119, 120, 500].map((t) => sectionAt(list, t))).toEqual([0, 0, 0, 1, 1, 2, 2]);
  });

  test('are put on bars all together, and keep their reasons', () => {
    const g = grid();
    const snapped = snapAll(sections(60.1, 120.2), g);
    for (const s of snapped.slice(1)) {
      const bar = beatAtTime(g, s.startTime) / 4;
      expect(bar).toBeCloseTo(Math.round(bar), 6);
      expect(s.why).toBe('The bass comes in.');
      expect(s.byHand).toBeUndefined();
    }
  });
});

describe('snapping', () => {
  const bar = 240 / 124;
  const at = (bars: number) => 0.25 + bars * bar;

  test('goes to the nearest bar, and to a phrase start within half a bar', () => {
    const phrased = grid({ phraseOffsetBars: 0 });
    expect(snapToBar(phrased, at(3.4))).toBeCloseTo(at(3), 9);
    expect(snapToBar(phrased, at(3.6))).toBeCloseTo(at(4), 9);
    expect(snapToBar(phrased, at(8.45))).toBeCloseTo(at(8), 9);
    expect(snapToBar(phrased, at(7.5))).toBeCloseTo(at(8), 9);
    expect(snapToBar(phrased, at(7.45))).toBeCloseTo(at(7), 9);
  });

  test('is never further than half a bar, and never outside the track', () => {
    fc.assert(
      fc.property(anyGrid, within, (g, time) => {
        const snapped = snapToBar(g, time);
        const slowest = Math.min(...g.segments.map((s) => s.bpm));
        expect(Math.abs(snapped - time)).toBeLessThanOrEqual((g.beatsPerBar * 30) / slowest + 1e-9);
        expect(snapped).toBeGreaterThanOrEqual(0);
        expect(snapped).toBeLessThanOrEqual(DURATION);
      }),
    );
    expect(snapToBar(noGrid(DURATION), 33.3)).toBe(33.3);
  });
});

test('energies are measured from the levels of the track', () => {
  // Half a track at a tenth of the level of the other half.
  const hop = 0.05;
  const length = DURATION / hop;
  const level = () => Float32Array.from({ length }, (_, i) => (i < length / 2 ? 0.05 : 0.5));
  const layers = () => LAYERS.map(level);
  const pyramid: Pyramid = { duration: DURATION, levels: [{ hop, length, peak: layers(), rms: layers() }] };
  const [quiet, loud] = measureEnergies(sections(DURATION / 2), pyramid);
  expect(loud.energy).toBe(1);
  expect(quiet.energy).toBeCloseTo(0.1, 3);
  const silent = {
    ...pyramid,
    levels: [{ ...pyramid.levels[0], rms: LAYERS.map(() => new Float32Array(length)) }],
  };
  expect(measureEnergies(sections(60), silent).map((s) => s.energy)).toEqual([0, 0]);
});
