/** Where 8-bar phrases begin: arrangements change at them. */
import type { GridFeatures } from './features.ts';

/** Bars of a phrase. */
export const PHRASE_BARS = 8;
/** Bars on each side of a boundary that are compared. */
const SIDE_BARS = 4;
/** Fewest bars for a say on phrases. */
const FEWEST_BARS = 12;
/** The best phase must stand out from the others by this many of their standard deviations. */
const STANDS_OUT = 1.8;
const FLOOR_DB = -60;

/**
 * @param bars time of each bar line, s, from the grid's first bar on
 * @returns bars from the first bar to the first phrase start, 0..7, or null when nothing tells
 */
export function phraseOffset(features: GridFeatures, bars: number[]): number | null {
  if (bars.length < FEWEST_BARS) return null;
  const novelty = barNovelty(features, bars);
  const sums = new Float64Array(PHRASE_BARS);
  const counts = new Float64Array(PHRASE_BARS);
  // The first and last bars compare with silence: they tell where the file ends, not a phrase.
  for (let b = 1; b < novelty.length - 1; b++) {
    sums[b % PHRASE_BARS] += novelty[b];
    counts[b % PHRASE_BARS]++;
  }
  const scores = Array.from(sums, (s, k) => (counts[k] ? s / counts[k] : 0));
  // A 4-bar boundary half a phrase away supports a phase as well.
  const supported = scores.map((s, k) => s + 0.3 * scores[(k + SIDE_BARS) % PHRASE_BARS]);
  const best = supported.indexOf(Math.max(...supported));
  const others = scores.filter((_, k) => k !== best);
  const mean = others.reduce((a, b) => a + b, 0) / others.length;
  const deviation = Math.sqrt(others.reduce((a, b) => a + (b - mean) ** 2, 0) / others.length);
  return scores[best] - mean > STANDS_OUT * deviation ? best : null;
}

/** What the share of the changes at one place of the bar weighs (log odds; estimate). */
const CHANGE_WEIGHT = 1;

/**
 * Sections change on bar lines: how the changes between four beats before and four after each beat fall on
 * the places of the bar. What repeats every bar cancels out of them.
 * @param beats time of each beat, s
 * @returns log odds for each place 0..3 (beat index modulo 4) to begin the bar, around 0
 */
export function barChangeScores(features: GridFeatures, beats: number[]): number[] {
  const levels = beats.map((start, b) => barLevels(features, start, beats[b + 1] ?? features.duration));
  const sums = [0, 0, 0, 0];
  for (let b = SIDE_BARS; b + SIDE_BARS <= beats.length; b++) {
    let change = 0;
    for (let k = 0; k < features.energy.length; k++) {
      const difference = meanOf(levels, b, b + SIDE_BARS, k) - meanOf(levels, b - SIDE_BARS, b, k);
      change += Math.min(20, Math.abs(difference));
    }
    sums[b % 4] += change * change;
  }
  const total = sums.reduce((a, b) => a + b, 0);
  return sums.map((s) => (total > 0 ? CHANGE_WEIGHT * ((4 * s) / total - 1) : 0));
}

/** How much the levels change at each bar line, dB summed over bands. */
export function barNovelty(features: GridFeatures, bars: number[]): Float64Array {
  const levels = bars.map((start, b) => barLevels(features, start, bars[b + 1] ?? features.duration));
  const novelty = new Float64Array(bars.length);
  for (let b = 1; b < bars.length; b++) {
    for (let k = 0; k < features.energy.length; k++) {
      const before = meanOf(levels, b - SIDE_BARS, b, k);
      const after = meanOf(levels, b, b + SIDE_BARS, k);
      const step = levels[b][k] - levels[b - 1][k];
      novelty[b] += Math.min(20, Math.abs(after - before)) + 0.5 * Math.min(20, Math.abs(step));
    }
  }
  return novelty;
}

function barLevels(features: GridFeatures, start: number, end: number): number[] {
  const first = Math.max(0, Math.round(start / features.hop));
  const last = Math.min(features.frames, Math.max(first + 1, Math.round(end / features.hop)));
  return features.energy.map((energy) => {
    let sum = 0;
    for (let j = first; j < last; j++) sum += energy[j];
    return Math.max(FLOOR_DB, 10 * Math.log10(sum / Math.max(1, last - first) + 1e-12));
  });
}

function meanOf(levels: number[][], from: number, to: number, band: number): number {
  const first = Math.max(0, from);
  const last = Math.min(levels.length, to);
  let sum = 0;
  for (let b = first; b < last; b++) sum += levels[b][band];
  return sum / Math.max(1, last - first);
}
