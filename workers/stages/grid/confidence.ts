/**
 * How sure the grid is. Three things are asked apart: is there a steady beat at all (steadiness), is it this
 * one (decide.ts, a softmax whose shares came out calibrated on songs that the fit had not seen; see
 * tests/bench/grid-fit.ts), and does it hold here (regions).
 */
import type { BeatGrid, GridRegion } from '../../../shared/grid/grid.ts';
import type { Alignment } from './align.ts';

/**
 * Comb score at which a beat is as likely as none, and the score's step for a change of e in the odds.
 * Measured on generated cases: speech, rain, noise, free playing and pads stay under 0.05, drifting drummers
 * begin at 0.18, constant tempi under -12 dB of noise at 0.46.
 */
const MIDDLE_COMB = 0.1;
const COMB_STEP = 0.014;
/** Below this chance of any beat there is no grid. */
export const LEAST_STEADINESS = 0.2;

/** Chance that there is a steady beat, 0..1, from the autocorrelation's comb score. */
export function steadiness(comb: number): number {
  return 1 / (1 + Math.exp(-(comb - MIDDLE_COMB) / COMB_STEP));
}

/** Length of a region: eight bars of four. */
const REGION_BEATS = 32;
/** Distance from the grid at which a window contradicts it, s. */
const OFF_SECONDS = 0.02;
/** Share of the confidence that is left where nothing is heard of the beat: a constant tempo goes on. */
const UNHEARD_CONSTANT = 0.8;
const UNHEARD_VARIABLE = 0.4;
/** Regions this similar are joined. */
const SAME = 0.08;

/**
 * The grid's confidence over stretches of eight bars: full where the music agrees with it, less where nothing
 * is heard, least where something else is.
 * @param period s per beat of the pulse that the alignments are against
 */
export function regionsOf(grid: BeatGrid, alignments: Alignment[], period: number): GridRegion[] {
  const unheard = grid.kind === 'constant' ? UNHEARD_CONSTANT : UNHEARD_VARIABLE;
  const length = REGION_BEATS * period;
  const count = Math.max(1, Math.round(grid.endTime / length));
  const out: GridRegion[] = [];
  for (let i = 0; i < count; i++) {
    const startTime = (i * grid.endTime) / count;
    const endTime = ((i + 1) * grid.endTime) / count;
    const here = alignments.filter((a) => a.time >= startTime && a.time < endTime);
    let share = 0;
    for (const a of here) {
      const heard = Math.min(1, a.strength);
      const agrees =
        Math.abs(a.shift * period) < OFF_SECONDS ? Math.min(1, Math.max(0, a.likeness) / 0.6) : 0;
      share += (heard * agrees + (1 - heard) * unheard) / here.length;
    }
    const confidence = grid.confidence * (here.length ? share : unheard);
    const last = out[out.length - 1];
    if (last && Math.abs(last.confidence - confidence) < SAME) last.endTime = endTime;
    else out.push({ startTime, endTime, confidence });
  }
  return out;
}
