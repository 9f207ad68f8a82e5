/** Where a marker that is placed by hand goes: on the grid, on a hit of the sound, or exactly where it was put. */
import { LAYERS } from '../bands.ts';
import { beatAtTime, type BeatGrid, timeOfBeat } from '../grid/grid.ts';
import type { Pyramid } from '../pyramid.ts';

export const SNAPS = ['beat', 'half', 'quarter', 'transient', 'off'] as const;
export type Snap = (typeof SNAPS)[number];

/** Steps of a beat that each way of snapping knows. */
const STEPS: Partial<Record<Snap, number>> = { beat: 1, half: 2, quarter: 4 };
/** A hit is looked for this far to each side, s. Estimate: half of a fast sixteenth-note's distance. */
export const TRANSIENT_REACH = 0.06;
/** Columns of about 5 ms that are compared before and after each place. */
const SIDE = 3;
/** The level after a hit must be this many times that before it. */
const LEAST_RATIO = 1.5;
const FULL = LAYERS.indexOf('full');

/**
 * The time to put a marker that was placed at `time`, s.
 * `beat`, `half`, `quarter`: the nearest such step of the grid; without a grid the time itself. `transient`: the
 * nearest clear rise of the level within TRANSIENT_REACH, to one column of the pyramid (about 5 ms); without one
 * the time itself. Never before the track or after its end.
 */
export function snapTime(time: number, snap: Snap, grid: BeatGrid, pyramid: Pyramid): number {
  const inside = Math.min(Math.max(0, time), pyramid.duration);
  const steps = STEPS[snap];
  if (steps && grid.segments.length) {
    const at = timeOfBeat(grid, Math.round(beatAtTime(grid, inside) * steps) / steps);
    if (at >= 0 && at <= pyramid.duration) return at;
    // The nearest step lies outside the track: the next one inside.
    const next = Math.round(beatAtTime(grid, inside) * steps) + (at < 0 ? 1 : -1);
    return Math.min(Math.max(0, timeOfBeat(grid, next / steps)), pyramid.duration);
  }
  return snap === 'transient' ? (hitNear(pyramid, inside) ?? inside) : inside;
}

/** Time of the clearest rise near `time`, s, or null where nothing starts. */
export function hitNear(pyramid: Pyramid, time: number): number | null {
  const level = pyramid.levels[0];
  const full = level?.rms[FULL];
  if (!level || !full) return null;
  const first = Math.max(SIDE, Math.round((time - TRANSIENT_REACH) / level.hop));
  const last = Math.min(level.length - SIDE, Math.round((time + TRANSIENT_REACH) / level.hop));
  const mean = (from: number) => {
    let sum = 0;
    for (let i = from; i < from + SIDE; i++) sum += full[i];
    return sum / SIDE;
  };
  let best = 0;
  let place: number | null = null;
  for (let i = first; i <= last; i++) {
    const before = mean(i - SIDE);
    const after = mean(i);
    if (after < before * LEAST_RATIO || after - before <= best) continue;
    best = after - before;
    place = i * level.hop;
  }
  return place;
}
