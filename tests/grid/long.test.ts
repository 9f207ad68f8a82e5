import { expect, test } from 'vitest';
import { beatAtTime, timeOfBeat } from '../../shared/grid/grid.ts';
import { HARMONY_BINS, type GridFeatures } from '../../workers/stages/grid/features.ts';
import { gridFromFeatures } from '../../workers/stages/grid/index.ts';
import { seeded } from '../fixtures/signal.ts';

/** 80 minutes of kick, clap and off-beat hat as the filters would measure them. */
function longFeatures(bpm: number, first: number, minutes: number): GridFeatures {
  const hop = 0.0029;
  const duration = minutes * 60;
  const frames = Math.floor(duration / hop);
  const random = seeded(4);
  const energy = Array.from({ length: 5 }, () =>
    Float32Array.from({ length: frames }, () => 1e-7 * random()),
  );
  const hit = (time: number, loud: number[], decay: number) => {
    const from = Math.round(time / hop);
    for (let i = 0; i < 60 && from + i < frames; i++)
      loud.forEach((power, band) => (energy[band][from + i] += power * Math.exp(-i / decay)));
  };
  for (let beat = 0; first + (beat * 60) / bpm < duration - 1; beat++) {
    const time = first + (beat * 60) / bpm;
    hit(time, [0.1, 0.03, 0.01, 0.01, 0.002], 20);
    if (beat % 2) hit(time, [0, 0.005, 0.02, 0.03, 0.01], 15);
    hit(time + 30 / bpm, [0, 0, 0, 0.004, 0.01], 8);
  }
  const harmonyFrames = Math.floor(duration / 0.137);
  const data = new Float32Array(harmonyFrames * HARMONY_BINS).fill(0.1);
  return {
    ...{ hop, frames, duration, energy },
    harmony: { hop: 0.137, offset: 0.09, frames: harmonyFrames, bins: HARMONY_BINS, data },
  };
}

test('a set of 80 minutes, of which only the middle is asked which beat is the beat, is right at both ends', () => {
  const [bpm, first] = [124.6, 0.31];
  const grid = gridFromFeatures(longFeatures(bpm, first, 80));
  expect(grid.kind).toBe('constant');
  expect(grid.segments[0].bpm).toBeCloseTo(bpm, 3);
  for (const beat of [0, Math.floor((79.9 * 60 * bpm) / 60)]) {
    const truth = first + (beat * 60) / bpm;
    const nearest = timeOfBeat(grid, Math.round(beatAtTime(grid, truth)));
    expect(Math.abs(nearest - truth)).toBeLessThan(0.01);
  }
});
