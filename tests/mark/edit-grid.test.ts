import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  addAnchor,
  anchorRoom,
  anchorsOf,
  moveAnchor,
  nudge,
  removeAnchor,
  scaleTempo,
  setBeatOne,
  setLocked,
  setPhraseStart,
  setTempo,
  turnBars,
} from '../../shared/grid/edit.ts';
import {
  type EditedGrid,
  GridEditFault,
  MAX_BPM,
  MIN_BPM,
  renumbered,
} from '../../shared/grid/edit-model.ts';
import { beatAtTime, isDownbeat, noGrid, timeOfBeat } from '../../shared/grid/grid.ts';
import { allBeats, anyGrid, constantGrid, DURATION, grid, observed } from './grids.ts';

const HALF = { beats: 1, over: 2 };
const DOUBLE = { beats: 2, over: 1 };
const THREE_HALVES = { beats: 3, over: 2 };
const TWO_THIRDS = { beats: 2, over: 3 };
const NANO = 1e-8;
const within = fc.double({ min: 0, max: DURATION, noNaN: true });

function expectSameBeats(a: EditedGrid, b: EditedGrid): void {
  // Away from the track's edges, where rounding may take a beat in or out.
  const inner = (g: EditedGrid) => observed(g).filter((x) => x.time > 0.001 && x.time < DURATION - 0.001);
  const [left, right] = [inner(a), inner(b)];
  expect(left.length).toBe(right.length);
  left.forEach((beat, i) => {
    expect(Math.abs(beat.time - right[i].time)).toBeLessThan(NANO);
    expect(beat.downbeat).toBe(right[i].downbeat);
  });
}

/** Times of phrase starts. */
function phrases(g: EditedGrid): number[] {
  if (g.phraseOffsetBars === null) return [];
  return allBeats(g)
    .filter(
      (b) =>
        b.downbeat && (((b.beat + g.firstBeatInBar) / g.beatsPerBar - g.phraseOffsetBars!) % 8 || 0) === 0,
    )
    .map((b) => b.time);
}

/** Anchors at a few beats, each moved by up to a fifth of a beat. */
function anchored(g: EditedGrid, wanted: readonly { beat: number; off: number }[]): EditedGrid {
  return wanted.reduce((pinned, { beat, off }) => {
    const time = timeOfBeat(pinned, beat) + (off * 60) / 130;
    return time >= 0 && time <= DURATION ? addAnchor(pinned, time) : pinned;
  }, g);
}
const anchors = fc.uniqueArray(
  fc.record({
    beat: fc.integer({ min: 1, max: 40 }).map((n) => n * 5),
    off: fc.double({ min: -0.2, max: 0.2, noNaN: true }),
  }),
  { selector: (a) => a.beat, minLength: 1, maxLength: 6 },
);

describe('moving the grid', () => {
  test('a nudge moves every beat by just that', () => {
    fc.assert(
      fc.property(anyGrid, anchors, fc.integer({ min: -500, max: 500 }), (g, pins, ms) => {
        const pinned = anchored(g, pins);
        const moved = nudge(pinned, ms);
        for (let beat = 0; beat < 200; beat += 7) {
          expect(timeOfBeat(moved, beat) - timeOfBeat(pinned, beat)).toBeCloseTo(ms / 1000, 9);
        }
        expect(anchorsOf(moved).map((a) => a.beat)).toEqual(anchorsOf(pinned).map((a) => a.beat));
        expectSameBeats(nudge(moved, -ms), pinned);
      }),
    );
  });

  test('“this is beat one” puts a downbeat exactly there, at most half a beat away, tempo kept', () => {
    fc.assert(
      fc.property(anyGrid, within, (g, time) => {
        const set = setBeatOne(g, time);
        const beat = Math.round(beatAtTime(set, time));
        expect(timeOfBeat(set, beat)).toBeCloseTo(time, 9);
        expect(isDownbeat(set, beat)).toBe(true);
        expect(set.segments.map((s) => s.bpm)).toEqual(g.segments.map((s) => s.bpm));
        const shift = set.segments[0].startTime - g.segments[0].startTime;
        expect(Math.abs(shift)).toBeLessThanOrEqual(30 / Math.min(...g.segments.map((s) => s.bpm)) + NANO);
        // A known phrase start stays within half a bar of where it was.
        expect(set.phraseOffsetBars === null).toBe(g.phraseOffsetBars === null);
      }),
    );
  });

  test('turning the bars leaves the beats, and a whole bar later all is as it was', () => {
    fc.assert(
      fc.property(anyGrid, (g) => {
        const turned = turnBars(g, 1);
        expect(allBeats(turned).map((b) => b.time)).toEqual(allBeats(g).map((b) => b.time));
        const downbeats = (x: EditedGrid) =>
          allBeats(x)
            .filter((b) => b.downbeat)
            .map((b) => b.beat);
        expect(downbeats(turned)).not.toEqual(downbeats(g));
        let round = g;
        for (let i = 0; i < g.beatsPerBar; i++) round = turnBars(round, 1);
        expect(downbeats(round)).toEqual(downbeats(g));
      }),
    );
  });

  test('a phrase begins at the bar nearest to the playhead', () => {
    fc.assert(
      fc.property(anyGrid, fc.double({ min: 20, max: 200, noNaN: true }), (g, time) => {
        const starts = phrases(setPhraseStart(g, time));
        const barSeconds = (60 / Math.min(...g.segments.map((s) => s.bpm))) * g.beatsPerBar;
        expect(Math.min(...starts.map((t) => Math.abs(t - time)))).toBeLessThanOrEqual(barSeconds / 2 + NANO);
      }),
    );
  });

  test('counting anew changes no beat, bar or phrase', () => {
    fc.assert(
      fc.property(anyGrid, anchors, fc.integer({ min: -50, max: 50 }), (g, pins, beat) => {
        const pinned = anchored(g, pins);
        const counted = renumbered(pinned, beat);
        expectSameBeats(counted, pinned);
        expect(phrases(counted).length).toBe(phrases(pinned).length);
        phrases(counted).forEach((t, i) => expect(t).toBeCloseTo(phrases(pinned)[i], 7));
        expect(timeOfBeat(counted, 0)).toBeCloseTo(timeOfBeat(pinned, beat), 8);
      }),
    );
  });
});

describe('tempo', () => {
  test.each([
    ['half then twice', HALF, DOUBLE],
    ['twice then half', DOUBLE, HALF],
    ['three for two and back', THREE_HALVES, TWO_THIRDS],
  ])('%s gives the same beats, bars and phrases', (_name, there, back) => {
    fc.assert(
      fc.property(anyGrid, anchors, (g, pins) => {
        const pinned = anchored(g, pins);
        const again = scaleTempo(scaleTempo(pinned, there), back);
        expectSameBeats(again, pinned);
        const [a, b] = [phrases(again), phrases(pinned)].map((list) => list.filter((t) => t > 0.01));
        expect(a.length).toBe(b.length);
        a.forEach((t, i) => expect(t).toBeCloseTo(b[i], 7));
      }),
    );
  });

  test('half the tempo keeps every other beat, and downbeats among the old ones', () => {
    fc.assert(
      fc.property(anyGrid, (g) => {
        const old = allBeats(g);
        const slow = allBeats(scaleTempo(g, HALF)).slice(1, -1);
        for (const beat of slow) {
          const same = old.find((o) => Math.abs(o.time - beat.time) < NANO);
          expect(same, `beat at ${beat.time}`).toBeDefined();
          if (beat.downbeat) expect(same!.downbeat).toBe(true);
        }
        expect(Math.abs(slow.length + 2 - old.length / 2)).toBeLessThanOrEqual(1.5);
      }),
    );
  });

  test('a typed tempo holds everywhere and leaves the beat at the playhead in place', () => {
    fc.assert(
      fc.property(
        anyGrid,
        anchors,
        within,
        fc.double({ min: 20, max: 400, noNaN: true }),
        (g, pins, time, bpm) => {
          const pinned = anchored(g, pins);
          const beat = Math.round(beatAtTime(pinned, time));
          const set = setTempo(pinned, bpm, time);
          expect(set.kind).toBe('constant');
          expect(set.segments).toHaveLength(1);
          expect(set.segments[0].bpm).toBe(bpm);
          const kept = timeOfBeat(pinned, beat);
          const now = beatAtTime(set, kept);
          expect(Math.abs(now - Math.round(now))).toBeLessThan(1e-6);
          expect(isDownbeat(set, Math.round(now))).toBe(isDownbeat(pinned, beat));
          // Beat 0 is the first beat of the track.
          expect(timeOfBeat(set, 0)).toBeGreaterThan(-1e-4);
          expect(timeOfBeat(set, -1)).toBeLessThan(0);
        },
      ),
    );
  });

  test('a track without a grid gets one from a typed tempo, with beat one at the playhead', () => {
    const set = setTempo(noGrid(DURATION), 120, 10.1);
    expect(set.kind).toBe('constant');
    const one = allBeats(set).find((b) => Math.abs(b.time - 10.1) < NANO);
    expect(one?.downbeat).toBe(true);
  });

  test('bounds are kept, with a sentence', () => {
    expect(() => setTempo(grid(), MAX_BPM + 1, 0)).toThrow(GridEditFault);
    expect(() => setTempo(grid(), MIN_BPM - 1, 0)).toThrow(/between 20 and 400/);
    expect(() => setTempo(grid(), NaN, 0)).toThrow(GridEditFault);
    const fast = setTempo(grid(), 300, 0);
    expect(() => scaleTempo(fast, DOUBLE)).toThrow(/outside 20 to 400/);
    expect(() => scaleTempo(setTempo(grid(), 30, 0), HALF)).toThrow(GridEditFault);
  });
});

describe('anchors', () => {
  test('are met exactly, and beats strictly rise', () => {
    fc.assert(
      fc.property(anyGrid, anchors, (g, pins) => {
        const pinned = anchored(g, pins);
        for (const { beat, time } of anchorsOf(pinned)) expect(timeOfBeat(pinned, beat)).toBe(time);
        let before = -Infinity;
        for (let beat = -8; beat < 900; beat++) {
          const time = timeOfBeat(pinned, beat);
          expect(time).toBeGreaterThan(before);
          before = time;
        }
        for (const { bpm } of pinned.segments) {
          expect(bpm).toBeGreaterThanOrEqual(MIN_BPM);
          expect(bpm).toBeLessThanOrEqual(MAX_BPM);
        }
        // Segments meet: no beat lies in two places.
        pinned.segments.slice(1).forEach((s, i) => {
          const from = pinned.segments[i];
          expect(from.startTime + ((s.startBeat - from.startBeat) * 60) / from.bpm).toBeCloseTo(
            s.startTime,
            8,
          );
        });
      }),
    );
  });

  test('one anchor moves a constant grid and keeps it constant', () => {
    fc.assert(
      fc.property(constantGrid, fc.double({ min: 5, max: 200, noNaN: true }), (g, time) => {
        const pinned = addAnchor(g, time);
        expect(pinned.kind).toBe('constant');
        expect(pinned.segments).toHaveLength(1);
        expect(pinned.segments[0].bpm).toBeCloseTo(g.segments[0].bpm, 9);
      }),
    );
  });

  test('two far apart set the tempo of a constant grid everywhere', () => {
    // 124 bpm drawn where the music runs at 124.1: pinned early and late, it fits at both ends.
    const truth = (beat: number) => 0.25 + (beat * 60) / 124.1;
    const pinned = addAnchor(addAnchor(grid(), truth(4)), truth(450));
    for (const beat of [0, 4, 100, 450, 490]) expect(timeOfBeat(pinned, beat)).toBeCloseTo(truth(beat), 9);
  });

  test('two close together bend only what is between them', () => {
    const g = grid();
    const a = timeOfBeat(g, 100);
    const b = timeOfBeat(g, 104) + 0.02;
    const pinned = addAnchor(addAnchor(g, a), b);
    expect(pinned.kind).toBe('variable');
    expect(timeOfBeat(pinned, 50)).toBeCloseTo(timeOfBeat(g, 50), 9);
    expect(timeOfBeat(pinned, 102)).toBeCloseTo(timeOfBeat(g, 102) + 0.01, 9);
    expect(timeOfBeat(pinned, 300)).toBeCloseTo(timeOfBeat(g, 300) + 0.02, 9);
  });

  test('taken out again, in any order, they leave nothing behind', () => {
    fc.assert(
      fc.property(anyGrid, anchors, (g, pins) => {
        let pinned = anchored(g, pins);
        for (const { beat } of [...anchorsOf(pinned)].reverse()) pinned = removeAnchor(pinned, beat);
        expect(pinned.segments).toEqual(g.segments);
        expect(pinned.anchors).toBeUndefined();
        expect(pinned.kind).toBe(g.kind);
      }),
    );
  });

  test('a second pin on the same beat moves the first', () => {
    const once = addAnchor(grid(), 20);
    const beat = anchorsOf(once)[0].beat;
    const twice = addAnchor(once, 20.05);
    expect(anchorsOf(twice)).toEqual([{ beat, time: 20.05 }]);
    expect(anchorsOf(moveAnchor(twice, beat, 19.9))).toEqual([{ beat, time: 19.9 }]);
  });

  test('may go as far as their room says and no further', () => {
    const pinned = addAnchor(addAnchor(addAnchor(grid(), 20), 30), 40);
    const [, middle] = anchorsOf(pinned);
    const { from, to } = anchorRoom(pinned, middle.beat);
    expect(from).toBeGreaterThan(20);
    expect(to).toBeLessThan(40);
    for (const time of [from + NANO, to - NANO]) {
      expect(timeOfBeat(moveAnchor(pinned, middle.beat, time), middle.beat)).toBe(time);
    }
    for (const time of [from - 0.01, to + 0.01, 19, 41]) {
      expect(() => moveAnchor(pinned, middle.beat, time)).toThrow(GridEditFault);
    }
  });
});

describe('what cannot be edited', () => {
  const edits: [string, (g: EditedGrid) => EditedGrid][] = [
    ['nudge', (g) => nudge(g, 1)],
    ['beat one', (g) => setBeatOne(g, 1)],
    ['bars', (g) => turnBars(g, 1)],
    ['phrase', (g) => setPhraseStart(g, 1)],
    ['scale', (g) => scaleTempo(g, HALF)],
    ['anchor', (g) => addAnchor(g, 1)],
  ];
  test.each(edits)('%s: a locked grid, and a track without beats', (_name, edit) => {
    expect(() => edit(setLocked(grid(), true))).toThrow(/locked/);
    expect(() => edit(noGrid(DURATION))).toThrow(/no grid yet/);
    expect(edit(setLocked(setLocked(grid(), true), false))).toBeDefined();
  });

  test('a typed tempo too when locked, places outside the track, anchors that are not there', () => {
    expect(() => setTempo(setLocked(grid(), true), 120, 0)).toThrow(/locked/);
    expect(() => setBeatOne(grid(), DURATION + 1)).toThrow(/outside the track/);
    expect(() => addAnchor(grid(), -1)).toThrow(/outside the track/);
    expect(() => removeAnchor(grid(), 3)).toThrow(/no such anchor/);
    expect(() => nudge(grid(), Infinity)).toThrow(GridEditFault);
  });

  test('no edit changes the grid that it was given', () => {
    const g = addAnchor(addAnchor(grid(), 20), 40);
    const copy = structuredClone(g);
    for (const [, edit] of edits) edit(g);
    setTempo(g, 100, 5);
    expect(g).toEqual(copy);
  });
});
