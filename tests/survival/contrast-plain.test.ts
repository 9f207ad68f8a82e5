/**
 * Contrast worked out again the plain way: every column of the window read from the pyramid by itself, every pair of
 * columns compared. `contrast.ts` makes less, keeps much and counts instead of comparing; both must agree exactly.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bandBalance, colourStep, heightOfLevel, trebleShare } from '../../shared/display/heights.ts';
import { mainTempo, noGrid, timeOfBeat, beatAtTime } from '../../shared/grid/grid.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { readPyramid } from '../../shared/pyramid.ts';
import {
  contrastAt,
  judgedColumns,
  LEAST_COLUMNS,
  VISIBLE_HEIGHT,
  VISIBLE_SHADE,
  WINDOW_BARS,
  WINDOW_SECONDS,
  type ContrastTrack,
} from '../../shared/survival/contrast.ts';
import { constantGrid, pyramidOf, randomLevels, sequence } from '../display/tracks.ts';
import { deck, DECKS, poor, small, strip, wide } from './helpers.ts';

/** The displays' layers of the pyramid. */
const FULL = 3;

interface Column {
  heights: number[];
  /** null: none, or none that shows. */
  shade: number | null;
}

function columnAt(track: ContrastTrack, profile: DeckProfile, width: number, index: number): Column {
  const { scrolling, kinds } = profile.waveform;
  const { heightSteps, colourSteps } = scrolling ? profile.waveform : profile.overview;
  const kind = scrolling ? kinds[0] : profile.overview.kind;
  const { peak, rms } = readPyramid(track.pyramid, index * width, width, 1);
  const height = (layer: number) => heightOfLevel(peak[layer][0], rms[layer][0], heightSteps);
  if (kind === 'three-band') return { heights: [0, 1, 2].map(height), shade: null };
  const heights = [height(FULL)];
  const share = kind === 'tint' ? bandBalance : kind === 'single' ? trebleShare : null;
  if (!share || colourSteps === 1 || !heights[0]) return { heights, shade: null };
  const [bass, middle, treble] = rms;
  return { heights, shade: colourStep(share(bass[0], middle[0], treble[0]), colourSteps) };
}

/** Over all pairs: how much more often the later one is larger than smaller, by `margin` or more. */
function byPairs(before: number[], after: number[], margin: number): number {
  let balance = 0;
  for (const a of after) for (const b of before) balance += Number(a - b >= margin) - Number(b - a >= margin);
  return before.length && after.length ? balance / (before.length * after.length) : 0;
}

/** Deltas of the layers in order, or null: worked out after the definition in `contrast.ts`. */
function plainly(track: ContrastTrack, profile: DeckProfile, time: number): number[] | null {
  const { grid, duration } = track;
  const { scrolling, zoomSeconds } = profile.waveform;
  let start: number;
  let end: number;
  if (grid.segments.length) {
    const at = beatAtTime(grid, time);
    const room = Math.min(at - beatAtTime(grid, 0), beatAtTime(grid, duration) - at);
    const bars = Math.min(WINDOW_BARS, Math.floor(room / grid.beatsPerBar + 1e-3));
    if (bars < 1) return null;
    start = Math.max(0, timeOfBeat(grid, at - bars * grid.beatsPerBar));
    end = Math.min(duration, timeOfBeat(grid, at + bars * grid.beatsPerBar));
  } else {
    const side = Math.min(WINDOW_SECONDS, time, duration - time);
    if (side < 2) return null;
    [start, end] = [time - side, time + side];
  }
  const bpm = mainTempo(grid);
  const wanted = 2 * (bpm ? (WINDOW_BARS * grid.beatsPerBar * 60) / bpm : WINDOW_SECONDS);
  const stop = zoomSeconds.find((seconds) => seconds >= wanted) ?? zoomSeconds[zoomSeconds.length - 1];
  const width = scrolling ? stop / profile.screen.columns : duration / profile.overview.columns;
  const columns = scrolling ? Math.ceil(duration / width - 1e-6) : profile.overview.columns;
  const { heightSteps, colourSteps } = scrolling ? profile.waveform : profile.overview;
  const kind = scrolling ? profile.waveform.kinds[0] : profile.overview.kind;

  const before: Column[] = [];
  const after: Column[] = [];
  for (let i = 0; i < columns; i++) {
    const [left, right] = [i - 1e-6, i + 1 + 1e-6].map((x) => x * width);
    // Whole columns only; an edge that a column misses by the rounding of floats is none.
    if (i >= start / width - 1e-6 && right <= time + 2e-6 * width)
      before.push(columnAt(track, profile, width, i));
    if (left >= time - 2e-6 * width && i + 1 <= end / width + 1e-6)
      after.push(columnAt(track, profile, width, i));
  }
  if (Math.min(before.length, after.length) < LEAST_COLUMNS) return null;
  const margin = Math.max(1, Math.round(heightSteps * VISIBLE_HEIGHT));
  const deltas = before[0].heights.map((_, layer) =>
    byPairs(
      before.map((c) => c.heights[layer]),
      after.map((c) => c.heights[layer]),
      margin,
    ),
  );
  if ((kind === 'tint' || kind === 'single') && colourSteps > 1) {
    const shades = (side: Column[]) => side.flatMap((c) => (c.shade === null ? [] : [c.shade]));
    const step = Math.max(1, Math.round(colourSteps * VISIBLE_SHADE));
    deltas.push(byPairs(shades(before), shades(after), step));
  }
  return deltas;
}

const DURATION = 70;
const TRACKS: [string, ContrastTrack][] = (
  [
    ['on a fast grid', constantGrid(174, DURATION), 0.005],
    ['on a grid', constantGrid(128, DURATION), 0.005],
    ['in three', constantGrid(98.7, DURATION, { beatsPerBar: 3 }), 220 / 44100],
    ['without a grid', noGrid(DURATION), 0.005],
  ] as const
).map(([name, grid, hop], i) => [
  name,
  { grid, duration: DURATION, pyramid: pyramidOf(DURATION, partly(i + 1), hop) },
]);

/** Random levels whose loudness steps at random places, so that contrasts of every size occur. */
function partly(seed: number): (layer: number, i: number) => { peak: number; rms: number } {
  const noise = randomLevels(seed);
  const next = sequence(seed);
  const parts = Array.from({ length: 24 }, () => [next(), next(), next(), next()]);
  return (layer, i) => {
    const { peak, rms } = noise(layer, i);
    const loud = parts[Math.floor(i / 600) % parts.length][layer];
    return { peak: peak * loud, rms: rms * loud };
  };
}

const OTHERS: DeckProfile[] = [
  deck(wide, { waveform: { kinds: ['single'], heightSteps: 9, colourSteps: 5 } }),
  deck(small, { screen: { columns: 333 }, waveform: { kinds: ['three-band'], heightSteps: 255 } }),
  deck(strip, { waveform: { zoomSeconds: [3], colourSteps: 1 } }),
  deck(poor, { overview: { columns: 97, kind: 'tint', heightSteps: 5, colourSteps: 7 } }),
  deck(poor, { overview: { columns: 800, kind: 'three-band', heightSteps: 30, colourSteps: 1 } }),
];

describe.each(TRACKS)('contrast of a track %s', (_name, track) => {
  it.each([...DECKS, ...OTHERS].map((d, i) => [`${d.id} (${i + 1})`, d] as const))(
    'on %s is what comparing all pairs of columns gives',
    (_deck, profile) => {
      let compared = 0;
      fc.assert(
        fc.property(
          fc.oneof(
            fc.double({ min: 0, max: DURATION, noNaN: true }),
            fc.nat(200).map((n) => Math.min(DURATION, timeOfBeat(constantGrid(128, DURATION), n))),
          ),
          (time) => {
            const plain = plainly(track, profile, time);
            const contrast = contrastAt(track, profile, time);
            expect(contrast?.layers.map(({ delta }) => delta) ?? null).toEqual(plain);
            if (plain) expect(contrast!.value).toBe(Math.max(...plain.map(Math.abs)));
            compared += Number(plain !== null);
          },
        ),
        { numRuns: 20 },
      );
      expect(compared).toBeGreaterThan(0);
    },
  );
});

describe('what is kept', () => {
  const [, [, track]] = TRACKS;

  it('serves decks that show the same, and no others', () => {
    const twin = deck(wide, { hotCues: { slots: 2 }, screen: { rows: 1 } as never });
    expect(twin).not.toBe(wide);
    expect(contrastAt(track, twin, 30)).toBe(contrastAt(track, wide, 30));
    for (const [i, profile] of [...DECKS, ...OTHERS].entries()) {
      for (const other of [...DECKS, ...OTHERS].slice(i + 1)) {
        expect(contrastAt(track, profile, 30)).not.toBe(contrastAt(track, other, 30));
      }
    }
  });

  it('is not what another length, grid or sound has', () => {
    const sounds = { ...track, pyramid: pyramidOf(DURATION, partly(9)) };
    const cut = { ...track, duration: 40 };
    const moved = { ...track, grid: constantGrid(100, DURATION) };
    for (const other of [sounds, cut, moved]) {
      for (const profile of DECKS) {
        contrastAt(track, profile, 25);
        const contrast = contrastAt(other, profile, 25);
        expect(contrast?.layers.map(({ delta }) => delta) ?? null).toEqual(plainly(other, profile, 25));
      }
    }
  });

  it('does not hang on what was asked before', () => {
    const fresh = { ...track, pyramid: { ...track.pyramid } };
    const times = [50, 20, 33.3, 20.01, 41];
    const forwards = times.map((time) => contrastAt(track, wide, time));
    const backwards = times.toReversed().map((time) => contrastAt(fresh, wide, time));
    expect(backwards.reverse()).toEqual(forwards);
    expect(judgedColumns(fresh, wide)).toEqual(judgedColumns(track, wide));
  });
});
