/** Tempi that change, tempi that drift, and music without a beat. */
import { describe, expect, it } from 'vitest';
import { renderPattern } from '../../demo/pattern.ts';
import { BEATLESS, makeBeatless } from './beatless.ts';
import { beatTimes, gridOf } from './helpers.ts';
import { cmlt, fMeasure, worstDeviation } from './metrics.ts';
import { makeSong } from './songs.ts';
import { RATE } from './voices.ts';

describe('one change of tempo', () => {
  it('becomes two exact segments', () => {
    const s = makeSong({
      style: 'house',
      bpm: 120,
      seconds: 110,
      seed: 8501,
      tempoChange: { at: 55, bpm: 126 },
      plain: true,
    });
    const grid = gridOf([s.samples], s.sampleRate);
    expect(grid.kind).toBe('variable');
    expect(grid.segments.map((x) => x.bpm)).toEqual([120, 126]);
    const beats = beatTimes(grid, s.beats);
    expect(worstDeviation(s.beats, beats)).toBeLessThan(0.01);
    expect(cmlt(s.beats, beats)).toBe(1);
  });

  it('is followed in a pattern of the demo', () => {
    const { truth, left, right, sampleRate } = renderPattern({
      style: 'techno',
      bpm: 130,
      seconds: 90,
      seed: 9501,
      tempoChange: { atBeat: 96, bpm: 138 },
    });
    const grid = gridOf([left, right], sampleRate);
    expect(fMeasure(truth.beats, beatTimes(grid, truth.beats))).toBeGreaterThan(0.97);
  });
});

describe('one change of tempo in a rhythm that is not even', () => {
  // Seeds that nothing was tuned on; the change is not always in the middle, and arrangements come and go.
  it.each([
    { style: 'breakbeat', bpm: 126, to: 132, at: 40, seed: 17001 },
    { style: 'breakbeat', bpm: 168, to: 160, at: 65, seed: 17002 },
    { style: 'breakbeat', bpm: 132, to: 126, at: 25, seed: 17003 },
    { style: 'swing', bpm: 120, to: 128, at: 50, seed: 17007 },
    { style: 'two-step', bpm: 132, to: 138, at: 55, seed: 17005 },
    { style: 'hip-hop', bpm: 92, to: 98, at: 45, seed: 17006 },
  ] as const)('$style from $bpm to $to at $at s', ({ style, bpm, to, at, seed }) => {
    const s = makeSong({ style, bpm, seconds: 100, seed, tempoChange: { at, bpm: to } });
    const grid = gridOf([s.samples], s.sampleRate);
    expect(grid.kind).toBe('variable');
    expect(grid.segments.map((x) => x.bpm)).toEqual([bpm, to]);
    expect(worstDeviation(s.beats, beatTimes(grid, s.beats))).toBeLessThan(0.025);
  });
});

describe('a drummer without a click', () => {
  it('is followed beat by beat', () => {
    const s = makeSong({
      style: 'rock',
      bpm: 112,
      seconds: 100,
      seed: 8502,
      drift: { depth: 0.02, period: 40, jitter: 0.006 },
    });
    const grid = gridOf([s.samples], s.sampleRate);
    expect(grid.kind).toBe('variable');
    const beats = beatTimes(grid, s.beats);
    expect(fMeasure(s.beats, beats)).toBeGreaterThan(0.98);
    expect(cmlt(s.beats, beats)).toBeGreaterThan(0.95);
    expect(worstDeviation(s.beats, beats)).toBeLessThan(0.04);
  });

  it('is followed in a pattern of the demo', () => {
    const { truth, left, right, sampleRate } = renderPattern({
      style: 'house',
      bpm: 0,
      seconds: 90,
      seed: 9502,
      drift: { fromBpm: 112, toBpm: 117, wander: 0.008, jitter: 0.002 },
    });
    const beats = beatTimes(gridOf([left, right], sampleRate), truth.beats);
    expect(fMeasure(truth.beats, beats)).toBeGreaterThan(0.98);
    expect(worstDeviation(truth.beats, beats)).toBeLessThan(0.03);
  });
});

describe('no steady beat', () => {
  it.each(BEATLESS)('%s gets no grid', (kind) => {
    for (const seed of kind === 'silence' ? [1] : [11, 12]) {
      const grid = gridOf([makeBeatless(kind, 60, seed)], RATE);
      expect(grid.kind).toBe('none');
      expect(grid.segments).toEqual([]);
      expect(grid.confidence).toBeLessThan(0.2);
    }
  });

  it('nor does a file too short to hold one', () => {
    expect(gridOf([new Float32Array(100)], RATE).kind).toBe('none');
    expect(gridOf([new Float32Array(0)], RATE).kind).toBe('none');
  });
});

describe('confidence', () => {
  it('is high for a clear track and covers it in regions', () => {
    const clear = makeSong({ style: 'house', bpm: 124, seconds: 90, seed: 8601 });
    const grid = gridOf([clear.samples], clear.sampleRate);
    expect(grid.confidence).toBeGreaterThan(0.8);
    expect(grid.regions[0].startTime).toBe(0);
    expect(grid.regions.at(-1)!.endTime).toBeCloseTo(90, 1);
    grid.regions.forEach((r, i) => {
      expect(r.confidence).toBeGreaterThanOrEqual(0);
      expect(r.confidence).toBeLessThanOrEqual(1);
      if (i) expect(r.startTime).toBe(grid.regions[i - 1].endTime);
    });
  });
});
