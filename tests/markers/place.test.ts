import { describe, expect, it } from 'vitest';
import { beatAtTime, noGrid, timeOfBeat } from '../../shared/grid/grid.ts';
import { faultOf, type Marker } from '../../shared/markers/marker.ts';
import { proposeMarkers } from '../../shared/markers/propose.ts';
import { copyScheme } from '../../shared/markers/scheme.ts';
import { snapTime } from '../../shared/markers/snap.ts';
import { layTags, LEAST_TAG } from '../../src/markers/tags.ts';
import { DURATION, grid } from '../mark/grids.ts';
import { pyramidWithHits, section } from './tracks.ts';

const at120 = grid({ segments: [{ startBeat: 0, startTime: 0, bpm: 120 }] });

describe('snapping', () => {
  const pyramid = pyramidWithHits([10.13]);

  // 120 bpm: a beat is 0.5 s, a half 0.25 s, a quarter 0.125 s.
  it.each([
    ['beat', 10.0],
    ['half', 10.25],
    ['quarter', 10.125],
    ['off', 10.14],
  ] as const)('%s puts 10.14 s on %d s', (snap, expected) => {
    expect(snapTime(10.14, snap, at120, pyramid)).toBeCloseTo(expected, 9);
  });

  it('finds the hit to one column, and leaves the time alone where there is none', () => {
    expect(snapTime(10.16, 'transient', at120, pyramid)).toBeCloseTo(10.13, 2);
    expect(snapTime(20.16, 'transient', at120, pyramid)).toBe(20.16);
  });

  it('leaves the time alone without a grid, and never leaves the track', () => {
    expect(snapTime(10.14, 'beat', noGrid(DURATION), pyramid)).toBe(10.14);
    const late = grid({ segments: [{ startBeat: 0, startTime: 0.4, bpm: 120 }] });
    expect(snapTime(0.01, 'beat', late, pyramid)).toBeCloseTo(0.4, 9);
    expect(snapTime(DURATION + 5, 'beat', at120, pyramid)).toBeLessThanOrEqual(DURATION);
  });
});

const arrangement = [
  section('intro', 0, 32, 0.4),
  section('build', 32, 48, 0.6),
  section('drop', 48, 96, 1),
  section('breakdown', 96, 128, 0.5),
  section('drop', 128, 192, 1),
  section('outro', 192, 240, 0.5),
];

describe('proposals', () => {
  it('marks every section and gives cues to what a set hangs on', () => {
    const { markers, added } = proposeMarkers([], arrangement, at120);
    expect(markers.filter((m) => m.kind === 'mark').map((m) => m.time)).toEqual([0, 32, 48, 96, 128, 192]);
    const cues = markers.filter((m) => m.kind === 'cue');
    expect(cues.map((m) => m.name)).toEqual(['Mix in', 'Build', 'Drop', 'Breakdown', 'Drop 2', 'Mix out']);
    expect(cues.filter((m) => m.importance === 3).map((m) => m.name)).toEqual(['Mix in', 'Drop', 'Mix out']);
    expect(added).toBe(12);
    expect(faultOf(markers)).toBeNull();
  });

  it('adds nothing a second time and leaves what the person placed', () => {
    const own: Marker = {
      kind: 'cue',
      id: 'own',
      time: 48.2,
      slot: 5,
      name: 'Mine',
      importance: 1,
      colour: null,
    };
    const first = proposeMarkers([own], arrangement, at120);
    expect(first.markers.find((m) => m.id === 'own')).toEqual(own);
    // 0.2 s from the drop is within a beat of 0.5 s: the place has a cue already.
    expect(first.markers.some((m) => m.kind === 'cue' && m.name === 'Drop')).toBe(false);
    expect(proposeMarkers(first.markers, arrangement, at120).added).toBe(0);
  });

  it('takes the sharpest rise where sections have only letters', () => {
    const letters = [
      section('A', 0, 40, 0.3),
      section('B', 40, 80, 0.4),
      section('C', 80, 160, 1),
      section('D', 160, 240, 0.4),
    ];
    const cues = proposeMarkers([], letters, at120).markers.filter((m) => m.kind === 'cue');
    expect(cues.map((m) => [m.name, m.time])).toEqual([
      ['Mix in', 0],
      ['Main change', 80],
      ['Mix out', 160],
    ]);
  });
});

describe('copying a scheme', () => {
  const from = { grid: at120, sections: arrangement, duration: DURATION, markers: [] as Marker[] };
  // Half the tempo: a beat is 1 s; the grid begins 2 s late.
  const slow = grid({ segments: [{ startBeat: 0, startTime: 2, bpm: 60 }], endTime: 400 });
  const to = {
    grid: slow,
    sections: [section('intro', 0, 66), section('drop', 66, 130), section('drop', 200, 300)],
    duration: 400,
    markers: [] as Marker[],
  };

  it('goes to the same distance in the same section, counted among those of its name', () => {
    // Four beats (2 s) into the second drop: four beats (4 s) into the second drop there.
    const marker: Marker = { kind: 'mark', id: 'a', time: 130, name: 'x', importance: 2 };
    const { markers, copied } = copyScheme({ ...from, markers: [marker] }, to, 'add');
    expect(copied).toBe(1);
    expect(markers[0].time).toBeCloseTo(204, 6);
  });

  it('counts from the first phrase where the other track has no such section', () => {
    // The breakdown begins at beat 192; there beat 192 is at 2 + 192 s.
    const marker: Marker = { kind: 'mark', id: 'a', time: 96, name: 'x', importance: 2 };
    expect(copyScheme({ ...from, markers: [marker] }, to, 'add').markers[0].time).toBeCloseTo(194, 6);
  });

  it('keeps lengths in beats, leaves out what has no place and says so', () => {
    const loop: Marker = { kind: 'loop', id: 'l', time: 48, endTime: 50, beats: 4, name: 'L', importance: 2 };
    const late: Marker = { kind: 'mark', id: 'z', time: 230, name: 'Late', importance: 2 };
    const { markers, notes } = copyScheme({ ...from, markers: [loop, late] }, to, 'add');
    expect(markers).toHaveLength(1);
    expect(markers[0]).toMatchObject({ kind: 'loop', beats: 4 });
    expect(markers[0].kind === 'loop' && markers[0].endTime - markers[0].time).toBeCloseTo(4, 6);
    expect(notes).toEqual([expect.stringContaining('Late')]);
  });

  it('keeps what stands there, or replaces it', () => {
    const own: Marker = { kind: 'cue', id: 'm1', time: 5, slot: 1, name: 'Own', importance: 2, colour: null };
    const cue: Marker = { ...own, id: 'c', time: 48, name: 'Drop' };
    const added = copyScheme({ ...from, markers: [cue] }, { ...to, markers: [own] }, 'add').markers;
    expect(added.map((m) => [m.name, m.kind === 'cue' && m.slot])).toEqual([
      ['Own', 1],
      ['Drop', 2],
    ]);
    const replaced = copyScheme({ ...from, markers: [cue] }, { ...to, markers: [own] }, 'replace').markers;
    expect(replaced.map((m) => m.name)).toEqual(['Drop']);
    expect(faultOf(added)).toBeNull();
  });

  it('lands every marker on the same beat of the bar when copied to itself', () => {
    const markers = [0, 31.5, 48, 97, 200.25].map((time, i): Marker => ({
      kind: 'mark',
      id: `m${i}`,
      time,
      name: `${i}`,
      importance: 1,
    }));
    const there = copyScheme({ ...from, markers }, from, 'replace').markers;
    there.forEach((m, i) => expect(m.time).toBeCloseTo(markers[i].time, 9));
    expect(timeOfBeat(at120, beatAtTime(at120, 48))).toBe(48);
  });
});

describe('tags in the lane', () => {
  it('never overlap in a row while there is room, and are cut short where there is none', () => {
    const tags = Array.from({ length: 30 }, (_, i) => ({ id: `${i}`, x: i * 30, width: 80 }));
    const placed = layTags(tags, 3);
    expect(placed).toHaveLength(30);
    for (let row = 0; row < 3; row++) {
      const here = placed.map((p, i) => ({ ...p, x: tags[i].x })).filter((p) => p.row === row);
      here.slice(1).forEach((tag, i) => expect(here[i].x + here[i].width).toBeLessThanOrEqual(tag.x));
      expect(here.length).toBeGreaterThan(5);
    }
    const dense = layTags(
      tags.map((tag, i) => ({ ...tag, x: i * 2 })),
      3,
    );
    expect(Math.min(...dense.map((tag) => tag.width))).toBe(LEAST_TAG);
  });
});
