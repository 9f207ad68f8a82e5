/** Tempi worth a closer look. */
import { combScore } from './autocorrelation.ts';
import type { LongSpectrum } from './long-spectrum.ts';
import type { TempoPrior } from './options.ts';

/** Step of the search, as a share of the tempo. */
const STEP = 0.004;
/** Peaks that are followed up. */
const MOST_PEAKS = 6;
/** A coarse tempo is this near to the exact one, as a share. */
const SPREAD = 0.012;
/** Simple ratios at which a rhythm is easily mistaken. */
const RELATIVES = [1, 2, 1 / 2, 3 / 2, 2 / 3, 4 / 3, 3 / 4];
/** Two candidates closer than this share are one. */
const SAME = 0.006;

export interface TempoCandidate {
  /** s per beat */
  period: number;
  /** How well the autocorrelation repeats at the beat's multiples, −1..1. */
  comb: number;
  /** Coherent strength over the whole track. */
  coherent: number;
}

/**
 * Peaks of the comb score within the prior's range, with their relatives by simple ratios, each refined on
 * the track's coherent spectrum. Best comb score first.
 */
export function tempoCandidates(
  correlation: Float64Array,
  spectrum: LongSpectrum,
  hop: number,
  prior: TempoPrior,
): TempoCandidate[] {
  const count = Math.ceil(Math.log(prior.maxBpm / prior.minBpm) / STEP) + 2;
  const periods = Array.from({ length: count }, (_, i) => 60 / (prior.minBpm * Math.exp((i - 1) * STEP)));
  const scores = periods.map((period) => combScore(correlation, period / hop));
  const peaks: number[] = [];
  for (let i = 1; i + 1 < count; i++) {
    if (scores[i] > scores[i - 1] && scores[i] >= scores[i + 1]) peaks.push(i);
  }
  peaks.sort((a, b) => scores[b] - scores[a]);
  const found: TempoCandidate[] = [];
  for (const i of peaks.slice(0, MOST_PEAKS)) {
    for (const ratio of i === peaks[0] || i === peaks[1] ? RELATIVES : [1]) {
      const bpm = (60 / periods[i]) * ratio;
      if (bpm < prior.minBpm * (1 - STEP) || bpm > prior.maxBpm * (1 + STEP)) continue;
      if (found.some((c) => Math.abs((c.period * bpm) / 60 - 1) < SAME)) continue;
      const refined = spectrum.refine(bpm / 60, SPREAD);
      const period = 1 / refined.hz;
      if (found.some((c) => Math.abs(c.period / period - 1) < SAME)) continue;
      found.push({ period, comb: combScore(correlation, period / hop), coherent: refined.score });
    }
  }
  return found.sort((a, b) => b.comb - a.comb);
}
