/** Tempo maps: where each beat falls. Beat 0 is the first beat of the track. */
import type { GridSegment } from '../../shared/grid/grid.ts';
import { mulberry32 } from '../synth/prng.ts';

/** One tempo throughout. */
export function constantTempo(bpm: number, startTime: number): GridSegment[] {
  return [{ startBeat: 0, startTime, bpm }];
}

/** `bpm` up to beat `atBeat`, then `laterBpm`. */
export function changedTempo(
  bpm: number,
  startTime: number,
  atBeat: number,
  laterBpm: number,
): GridSegment[] {
  return [
    { startBeat: 0, startTime, bpm },
    { startBeat: atBeat, startTime: startTime + (atBeat * 60) / bpm, bpm: laterBpm },
  ];
}

export interface Drift {
  /** Beats per minute at the first and at the last beat, in a straight line between */
  fromBpm: number;
  toBpm: number;
  /** Largest slow wander around that line, as a share of the tempo */
  wander: number;
  /** Largest step from one beat to the next, as a share of the tempo */
  jitter: number;
}

/** Periods of the wander in beats; no two are multiples, so that it does not repeat within a track. */
const WANDER_BEATS = [53, 117, 211];

/** A player without a click: one segment for every beat. */
export function driftingTempo(drift: Drift, startTime: number, beats: number, seed: number): GridSegment[] {
  const random = mulberry32(seed);
  const phases = WANDER_BEATS.map(() => random());
  const segments: GridSegment[] = [];
  let time = startTime;
  for (let beat = 0; beat <= beats; beat++) {
    const line = drift.fromBpm + ((drift.toBpm - drift.fromBpm) * beat) / beats;
    let sway = 0;
    WANDER_BEATS.forEach((period, i) => (sway += Math.sin(2 * Math.PI * (beat / period + phases[i]))));
    const share = (drift.wander * sway) / WANDER_BEATS.length + drift.jitter * (random() * 2 - 1);
    const bpm = line * (1 + share);
    segments.push({ startBeat: beat, startTime: time, bpm });
    time += 60 / bpm;
  }
  return segments;
}

/**
 * Moves the off-beat sixteenths late: each pair of sixteenths is split at `swing` (0.5 leaves it straight).
 * Beats and eighths stay where they are.
 */
export function swung(beat: number, swing: number): number {
  const pair = Math.floor(beat * 2 + 1e-9) / 2;
  const within = (beat - pair) * 2;
  return pair + (within < 0.5 ? within * 2 * swing : swing + (within - 0.5) * 2 * (1 - swing)) / 2;
}
