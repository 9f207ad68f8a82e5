/** Short club arrangements from four plain parts, and their sections by the stages of the analysis. */
import type { Section } from '../../shared/analysis.ts';
import { noGrid, type BeatGrid } from '../../shared/grid/grid.ts';
import { createHarmonyStage } from '../../workers/stages/key/index.ts';
import { createPyramidStage } from '../../workers/stages/pyramid.ts';
import { findSections } from '../../workers/stages/structure/index.ts';

export const RATE = 16000;

export interface Part {
  label: string;
  bars: number;
  kick?: boolean;
  hats?: boolean;
  bass?: boolean;
  pad?: boolean;
  /** A swell of noise that rises over the part. */
  riser?: boolean;
  /** Semitones by which the harmony is shifted. */
  shift?: number;
}

export interface Arrangement {
  bpm: number;
  parts: Part[];
  /** s before the first downbeat */
  lead?: number;
  seed?: number;
}

export const CLUB: Part[] = [
  { label: 'intro', bars: 16, kick: true },
  { label: 'build', bars: 8, kick: true, hats: true, riser: true },
  { label: 'drop', bars: 32, kick: true, hats: true, bass: true, pad: true },
  { label: 'breakdown', bars: 16, pad: true },
  { label: 'build', bars: 8, pad: true, hats: true, riser: true },
  { label: 'drop', bars: 32, kick: true, hats: true, bass: true, pad: true },
  { label: 'outro', bars: 16, kick: true },
];

export function random(seed: number): () => number {
  let state = (Math.imul(seed, 2654435761) + 12345) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Samples of the arrangement and the start time of each part. */
export function render({ bpm, parts, lead = 0, seed = 1 }: Arrangement) {
  const next = random(seed);
  const beat = 60 / bpm;
  const bar = 4 * beat;
  const bars = parts.reduce((sum, part) => sum + part.bars, 0);
  const samples = new Float32Array(Math.round((lead + bars * bar) * RATE));
  const starts: number[] = [];
  const add = (time: number, seconds: number, wave: (t: number) => number) => {
    const first = Math.round(time * RATE);
    const last = Math.min(samples.length, first + Math.round(seconds * RATE));
    for (let i = first; i < last; i++) samples[i] += wave((i - first) / RATE);
  };
  const tone = (midi: number, t: number) => Math.sin(2 * Math.PI * 440 * 2 ** ((midi - 69) / 12) * t);
  let barsBefore = 0;
  for (const part of parts) {
    const start = lead + barsBefore * bar;
    starts.push(start);
    for (let b = 0; b < part.bars * 4; b++) {
      const time = start + b * beat;
      const chord = [0, -4, 3, -2][Math.floor(b / 4) % 4] + (part.shift ?? 0);
      if (part.kick) {
        add(
          time,
          0.25,
          (t) => 0.6 * Math.exp(-14 * t) * Math.sin(2 * Math.PI * (50 * t - 4 * Math.exp(-30 * t))),
        );
      }
      if (part.hats) add(time + beat / 2, 0.08, (t) => 0.25 * Math.exp(-50 * t) * (2 * next() - 1));
      if (part.bass) add(time, beat, (t) => 0.2 * Math.min(1, t / 0.01) * tone(33 + chord, t));
      if (part.pad) {
        add(time, beat, (t) => 0.06 * (tone(57 + chord, t) + tone(60 + chord, t) + tone(64 + chord, t)));
      }
    }
    if (part.riser) {
      const seconds = part.bars * bar;
      add(start, seconds, (t) => 0.02 * 10 ** ((18 * t) / seconds / 20) * (2 * next() - 1));
    }
    barsBefore += part.bars;
  }
  return { samples, starts, duration: samples.length / RATE };
}

export function gridOf({ bpm, lead = 0 }: Arrangement, duration: number, phrases = true): BeatGrid {
  return {
    ...noGrid(duration),
    kind: 'constant',
    segments: [{ startBeat: 0, startTime: lead, bpm }],
    phraseOffsetBars: phrases ? 0 : null,
    confidence: 1,
    downbeatConfidence: 1,
  };
}

/** What the streaming stages make of mono samples. */
export function featuresOf(samples: Float32Array, rate = RATE) {
  const info = { sampleRate: rate, channels: 1 };
  const pyramid = createPyramidStage(info);
  const harmony = createHarmonyStage(info);
  for (let i = 0; i < samples.length; i += rate) {
    const block = [samples.subarray(i, i + rate)];
    pyramid.push(block);
    harmony.push(block);
  }
  return { harmony: harmony.finish(), pyramid: pyramid.finish(), duration: samples.length / rate };
}

/** Sections of mono samples under each of several grids. */
export function sectionsUnder(samples: Float32Array, ...grids: BeatGrid[]): Section[][] {
  const { harmony, pyramid, duration } = featuresOf(samples);
  return grids.map((grid) => findSections(harmony, pyramid, grid, duration));
}

export function sectionsOf(samples: Float32Array, grid: BeatGrid): Section[] {
  return sectionsUnder(samples, grid)[0];
}
