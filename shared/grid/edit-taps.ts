/** Tempo and beat from tapping along: a straight line through the taps by least squares. */
import { checkEditable, type EditedGrid, GridEditFault, hasBeats, MAX_BPM, MIN_BPM } from './edit-model.ts';
import { constantFrom } from './edit.ts';
import { beatAtTime } from './grid.ts';

/** Taps from which a line through them says something: two parameters and two to spare. */
export const LEAST_TAPS = 4;
/** A pause of more beats than this ends a run of taps; the next tap begins a new one. */
const LONGEST_PAUSE_BEATS = 4.5;
/** Longest wait for a second tap, s: a beat at the slowest tempo. */
const LONGEST_BEAT = 60 / MIN_BPM;

/** Student's t, two-sided 95 %, for 1 to 10 degrees of freedom (NIST/SEMATECH e-Handbook, 1.3.6.7.2). */
const T_95 = [12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228];
const t95 = (freedom: number) => T_95[freedom - 1] ?? 1.96 + 2.5 / freedom;

export interface TapTempo {
  /** beats per minute */
  bpm: number;
  /** Half of the 95 % interval of `bpm`, beats per minute. */
  bpmError: number;
  /** Time of the first tap's beat, s. */
  time: number;
  /** Half of the 95 % interval of the beats' place in the middle of the taps, s. */
  timeError: number;
  taps: number;
}

/** Adds a tap at `time`; a long pause, or going back in the track, begins a new run. */
export function addTap(taps: readonly number[], time: number): number[] {
  const last = taps[taps.length - 1];
  if (last === undefined) return [time];
  const beat = taps.length > 1 ? medianInterval(taps) : LONGEST_BEAT / LONGEST_PAUSE_BEATS;
  if (time <= last || time - last > beat * LONGEST_PAUSE_BEATS) return [time];
  return [...taps, time];
}

/**
 * The line through the taps: their numbers are counted by the median interval, so that a tap left out is not
 * taken for a long beat.
 * @param taps times in the track, s, rising
 * @returns null with fewer than LEAST_TAPS, or where they give no tempo within bounds
 */
export function tapTempo(taps: readonly number[]): TapTempo | null {
  if (taps.length < LEAST_TAPS) return null;
  const interval = medianInterval(taps);
  const beats = [0];
  for (let i = 1; i < taps.length; i++) {
    beats.push(beats[i - 1] + Math.max(1, Math.round((taps[i] - taps[i - 1]) / interval)));
  }
  const n = taps.length;
  const meanBeat = sum(beats) / n;
  const meanTime = sum(taps) / n;
  const spread = sum(beats.map((b) => (b - meanBeat) ** 2));
  const period = sum(beats.map((b, i) => (b - meanBeat) * (taps[i] - meanTime))) / spread;
  const bpm = 60 / period;
  if (!(bpm >= MIN_BPM && bpm <= MAX_BPM)) return null;
  const time = meanTime - meanBeat * period;
  const variance = sum(beats.map((b, i) => (taps[i] - time - b * period) ** 2)) / (n - 2);
  const t = t95(n - 2);
  return {
    bpm,
    bpmError: (bpm * t * Math.sqrt(variance / spread)) / period,
    time,
    timeError: t * Math.sqrt(variance / n),
    taps: n,
  };
}

/**
 * One constant tempo through the taps. Bars keep their count from the beat nearest to the first tap; a track
 * without a grid gets its beat one there.
 * @throws GridEditFault with fewer than LEAST_TAPS
 */
export function setFromTaps(grid: EditedGrid, taps: readonly number[]): EditedGrid {
  checkEditable(grid, false);
  const tapped = tapTempo(taps);
  if (!tapped) throw new GridEditFault(`Tap at least ${LEAST_TAPS} beats in time with the music.`);
  const beat = hasBeats(grid) ? Math.round(beatAtTime(grid, tapped.time)) : 0;
  return constantFrom(grid, tapped.bpm, beat, tapped.time);
}

function medianInterval(taps: readonly number[]): number {
  const gaps = taps
    .slice(1)
    .map((time, i) => time - taps[i])
    .sort((a, b) => a - b);
  return gaps[gaps.length >> 1];
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
