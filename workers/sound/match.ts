/**
 * Where the sound goes on most like itself: the search of WSOLA. W. Verhelst and M. Roelands, "An overlap-add
 * technique based on waveform similarity (WSOLA) for high quality time-scale modification of speech", ICASSP 1993;
 * citation from memory.
 */
import type { Pcm } from './reader.ts';

/** Every so many places and samples are looked at first; then all near the best one. */
const COARSE = 4;

const mono = ([left, right]: Pcm, n: number): number => (n >= 0 && n < left.length ? left[n] + right[n] : 0);

interface Search {
  /** Samples that are compared. */
  length: number;
  /** Samples that the place may be shifted by, either way. */
  reach: number;
  /** ±1: the way of reading */
  step: number;
}

/**
 * The place within `reach` of `wanted` from which `length` samples are most like those that would go on at `going`,
 * to a part of a sample, so that a steady tone does not wander; `wanted` itself where nothing is alike.
 */
export function likest(pcm: Pcm, going: number, wanted: number, { length, reach, step }: Search): number {
  const from = Math.round(going);
  const middle = Math.round(wanted);
  const alike = (at: number) => likeness(pcm, from, at, length, step);
  const coarse = best(alike, middle - reach, middle + reach, COARSE);
  if (coarse === null) return wanted;
  const near = best(alike, Math.max(middle - reach, coarse - COARSE + 1), coarse + COARSE - 1, 1) ?? coarse;
  return near + peak(alike(near - 1), alike(near), alike(near + 1)) + (going - from);
}

/** Correlation of the samples from `from` on with those from `at` on, over the level of the latter. */
function likeness(pcm: Pcm, from: number, at: number, length: number, step: number): number {
  let product = 0;
  let power = 0;
  for (let i = 0; i < length; i += COARSE) {
    const there = mono(pcm, at + i * step);
    product += mono(pcm, from + i * step) * there;
    power += there * there;
  }
  return product / Math.sqrt(power + 1e-12);
}

function best(alike: (at: number) => number, low: number, high: number, stride: number): number | null {
  let place: number | null = null;
  let top = 0;
  for (let at = low; at <= high; at += stride) {
    const here = alike(at);
    if (here <= top) continue;
    top = here;
    place = at;
  }
  return place;
}

/** Where the parabola through three values has its top, −½..½ beside the middle one. */
function peak(before: number, here: number, after: number): number {
  const bend = before - 2 * here + after;
  return bend < 0 ? Math.min(0.5, Math.max(-0.5, (before - after) / (2 * bend))) : 0;
}
