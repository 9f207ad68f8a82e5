/** Songs whose grid may be right in one place and wrong in another, and what is true of each place. */
import { beatsBetween, type BeatGrid } from '../../shared/grid/grid.ts';
import { nearest } from './metrics.ts';
import { Random } from './random.ts';
import { makeSong, STYLES, type Song, type Style } from './songs.ts';

const TEMPI: Record<Style, [number, number]> = {
  house: [116, 130],
  techno: [125, 145],
  breakbeat: [120, 176],
  'two-step': [120, 140],
  'half-time': [130, 170],
  'hip-hop': [80, 105],
  swing: [100, 135],
  'three-four': [90, 150],
  rock: [95, 150],
};

/** A tempo that is usual for a style, beats per minute. */
export function drawTempo(style: Style, r: Random): number {
  return r.range(...TEMPI[style]);
}

/** A beat this near to one of the grid is met, s. */
const NEAR_SECONDS = 0.03;
/** Share of a region's beats that must be met. */
const MET_SHARE = 0.9;

/** A song of constant tempo, or one with a cut, with one or two changes of tempo, or with a drummer who drifts. */
export function drawRegionalSong(seed: number): Song {
  const r = new Random(seed * 389 + 11);
  const style = STYLES[seed % STYLES.length];
  const bpm = Math.round(drawTempo(style, r));
  const spec = { style, bpm, seconds: 110, seed, noiseDb: r.chance(0.2) ? -12 : undefined };
  const kind = r.int(0, 3);
  if (kind === 1) return cut(makeSong(spec), r.range(25, 85), r.range(0.06, 0.9));
  if (kind === 2) {
    const change = { at: r.range(20, 90), bpm: Math.round(bpm * r.pick([0.94, 0.96, 1.04, 1.07])) };
    return makeSong({ ...spec, tempoChange: change });
  }
  if (kind === 3) {
    const drift = { depth: r.range(0.002, 0.02), period: r.range(20, 60), jitter: r.range(0.002, 0.012) };
    return makeSong({ ...spec, drift });
  }
  return makeSong(spec);
}

/** Takes `seconds` out of a song at `at`: what follows comes off the beat. */
function cut(song: Song, at: number, seconds: number): Song {
  const from = Math.round(at * song.sampleRate);
  const gap = Math.round(seconds * song.sampleRate);
  const samples = new Float32Array(song.samples.length - gap);
  samples.set(song.samples.subarray(0, from));
  samples.set(song.samples.subarray(from + gap), from);
  const beats = song.beats.flatMap((t) =>
    t < at ? [t] : t < at + seconds ? [] : [t - gap / song.sampleRate],
  );
  return { ...song, samples, beats };
}

/** True when the grid is right from one time to another: nearly every beat met, and none between them. */
export function isRightIn(grid: BeatGrid, song: Song, startTime: number, endTime: number): boolean {
  const found = beatsBetween(grid, startTime, endTime).map((beat) => beat.time);
  const truth = song.beats.filter((t) => t >= startTime && t < endTime);
  if (!truth.length || !found.length) return false;
  const met = (list: number[], all: number[]) =>
    list.filter((t) => Math.abs(all[nearest(all, t)] - t) < NEAR_SECONDS).length / list.length;
  return met(truth, found) >= MET_SHARE && met(found, truth) >= MET_SHARE;
}
