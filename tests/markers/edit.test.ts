import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beatAtTime, noGrid } from '../../shared/grid/grid.ts';
import * as edit from '../../shared/markers/edit.ts';
import { faultOf, inOrder, type Marker, MarkerFault, MAX_SLOT } from '../../shared/markers/marker.ts';
import { anyGrid, DURATION, grid } from '../mark/grids.ts';
import { anyMarkers } from './tracks.ts';

const cue = (id: string, time: number, slot: number | null): Marker => ({
  kind: 'cue',
  id,
  time,
  slot,
  name: id,
  importance: 2,
  colour: null,
});
const mark = (id: string, time: number): Marker => ({ kind: 'mark', id, time, name: id, importance: 2 });
const ids = (...list: string[]) => new Set(list);

describe('adding markers', () => {
  it('gives a cue the first free slot, also where its own is taken', () => {
    const one = edit.addMarker([cue('a', 1, 1), cue('c', 9, 3)], { ...cue('', 5, 1), name: 'x' });
    expect(one.map((m) => m.kind === 'cue' && m.slot)).toEqual([1, 2, 3]);
  });

  it('leaves a ninth cue without a slot', () => {
    let list: Marker[] = [];
    for (let i = 0; i <= MAX_SLOT; i++) list = edit.addMarker(list, cue('', i, null));
    expect(list.map((m) => m.kind === 'cue' && m.slot)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, null]);
    expect(faultOf(list)).toBeNull();
  });

  it('refuses a name that is too long and a loop that ends before it begins', () => {
    expect(() => edit.addMarker([], { ...mark('', 1), name: 'x'.repeat(81) } as edit.NewMarker)).toThrow(
      /80/,
    );
    const loop = {
      kind: 'loop' as const,
      time: 4,
      endTime: 4,
      name: '',
      importance: 2 as const,
      beats: null,
    };
    expect(() => edit.addMarker([], loop)).toThrow(MarkerFault);
  });
});

describe('slots', () => {
  it('swaps with the cue that has the slot', () => {
    const list = edit.takeSlot([cue('a', 1, 1), cue('b', 2, 2)], 'b', 1);
    expect(list.map((m) => [m.id, m.kind === 'cue' && m.slot])).toEqual([
      ['a', 2],
      ['b', 1],
    ]);
  });

  it('refuses two cues in one slot and slots that do not exist', () => {
    const list = [cue('a', 1, 1), cue('b', 2, 2)];
    expect(() => edit.assignSlots(list, new Map([['b', 1]]))).toThrow(/slot 1/);
    expect(() => edit.takeSlot(list, 'a', 9)).toThrow(MarkerFault);
    expect(() => edit.takeSlot([mark('m', 1)], 'm', 1)).toThrow(/hot cue/);
  });
});

describe('moving', () => {
  // 124 bpm: a beat is 60 / 124 = 0.483871 s.
  it('shifts by a beat along the grid', () => {
    const [moved] = edit.shiftByBeats([mark('a', 10)], ids('a'), 1, grid(), DURATION);
    expect(moved.time).toBeCloseTo(10.483871, 6);
  });

  it('refuses to move a marker out of the track, and by beats without a grid', () => {
    expect(() => edit.shiftByBeats([mark('a', 0.1)], ids('a'), -1, grid(), DURATION)).toThrow(
      /leave the track/,
    );
    expect(() => edit.shiftByBeats([mark('a', 9)], ids('a'), 1, noGrid(DURATION), DURATION)).toThrow(
      /no grid/,
    );
  });

  it('keeps the length in beats of a loop that moves to another tempo', () => {
    const two = grid({
      kind: 'variable',
      segments: [
        { startBeat: 0, startTime: 0, bpm: 120 },
        { startBeat: 100, startTime: 50, bpm: 60 },
      ],
    });
    const loop: Marker = { kind: 'loop', id: 'l', time: 10, endTime: 12, beats: 4, name: '', importance: 2 };
    const [moved] = edit.moveTo([loop], 'l', 60, two, DURATION);
    // Four beats at 60 bpm are four seconds.
    expect(moved).toMatchObject({ time: 60, endTime: 64, beats: 4 });
  });

  it('sets a length in beats: four beats at 125 bpm are 1.920 s', () => {
    const at125 = grid({ segments: [{ startBeat: 0, startTime: 0, bpm: 125 }] });
    const loop: Marker = {
      kind: 'loop',
      id: 'l',
      time: 48,
      endTime: 49,
      beats: null,
      name: '',
      importance: 2,
    };
    const [set] = edit.setLoopLength([loop], 'l', 4, at125, DURATION);
    expect(set.kind === 'loop' && set.endTime - set.time).toBeCloseTo(1.92, 9);
  });
});

describe('properties', () => {
  it('a shift and its opposite bring every marker back', () => {
    fc.assert(
      fc.property(anyMarkers, anyGrid, fc.integer({ min: 1, max: 16 }), (markers, g, beats) => {
        const all = new Set(markers.map((m) => m.id));
        let there: Marker[];
        try {
          there = edit.shiftByBeats(markers, all, beats, g, DURATION);
        } catch (error) {
          if (!(error instanceof MarkerFault)) throw error;
          return;
        }
        for (const m of there) {
          const before = markers.find((old) => old.id === m.id)!;
          expect(beatAtTime(g, m.time) - beatAtTime(g, before.time)).toBeCloseTo(beats, 6);
        }
        const back = edit.shiftByBeats(there, all, -beats, g, DURATION);
        back.forEach((m, i) => expect(m.time).toBeCloseTo(inOrder(markers)[i].time, 6));
      }),
    );
  });

  it('no edit leaves two cues in one slot, breaks the order or changes the list that it was given', () => {
    const slot = fc.option(fc.integer({ min: 1, max: MAX_SLOT }));
    fc.assert(
      fc.property(
        anyMarkers,
        fc.nat(),
        slot,
        fc.double({ min: 0, max: DURATION, noNaN: true }),
        (markers, n, to, time) => {
          const frozen = JSON.stringify(markers);
          const chosen = markers[n % Math.max(1, markers.length)];
          const edits = [
            () => edit.addMarker(markers, { ...cue('', time, to), name: '' } as edit.NewMarker),
            () => (chosen ? edit.takeSlot(markers, chosen.id, to) : markers),
            () => (chosen ? edit.moveTo(markers, chosen.id, time, grid(), DURATION) : markers),
            () => edit.removeMarkers(markers, ids(chosen?.id ?? '')),
          ];
          for (const make of edits) {
            let result: readonly Marker[];
            try {
              result = make();
            } catch (error) {
              if (error instanceof MarkerFault) continue;
              throw error;
            }
            expect(faultOf(result)).toBeNull();
            expect(inOrder(result)).toEqual(result);
          }
          expect(JSON.stringify(markers)).toBe(frozen);
        },
      ),
    );
  });
});
