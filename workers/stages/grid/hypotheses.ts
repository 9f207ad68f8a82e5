/** The beats that a pulse may stand for: its simple ratios and the phases at which something happens. */
import type { Cues } from './cues.ts';
import {
  BEAT_BINS,
  describe,
  foldCues,
  type Description,
  type FoldedCues,
  type Hypothesis,
} from './metre.ts';
import { priorShift, type TempoPrior } from './options.ts';
import type { Pulse } from './pulse.ts';
import { parabolicPeak } from './statistics.ts';

/** Ratios at which a rhythm is easily heard. */
const RATIOS = [1, 2, 1 / 2, 3 / 2, 2 / 3, 4 / 3, 3 / 4];
/** Cues of which each onset counts. */
const ONSET_CUES = ['bass', 'body', 'middle', 'presence', 'air', 'kick', 'snare'] as const;
/** Phases followed up per tempo. */
const MOST_PHASES = 5;
/** A phase counts when it is this strong against the strongest. */
const WEAKEST_PHASE = 0.2;
/** Phases closer than this share of a beat are one. */
const SAME_PHASE = 0.06;
/** A tempo just outside the range by this share still counts. */
const EDGE = 0.004;

export interface Described {
  hypothesis: Hypothesis;
  description: Description;
  /** What the person's prior adds to the log odds. */
  asked: number;
  /** The cues folded at the hypothesis's tempo. */
  folded: FoldedCues;
}

/**
 * All hypotheses on a pulse, with their features.
 * @param bpm tempo of the pulse itself
 * @param lagScore autocorrelation at a lag in seconds
 */
export function hypothesesOn(
  cues: Cues,
  pulse: Pulse,
  bpm: number,
  prior: TempoPrior,
  lagScore: (seconds: number) => number,
): Described[] {
  const out: Described[] = [];
  for (const ratio of RATIOS) {
    const tempo = bpm * ratio;
    if (tempo < prior.minBpm * (1 - EDGE) || tempo > prior.maxBpm * (1 + EDGE)) continue;
    const folded = foldCues(cues, pulse, ratio);
    for (const shift of phasesOf(folded)) {
      const hypothesis = { ratio, shift, bpm: tempo };
      const description = describe(hypothesis, folded, (beats) => lagScore((beats * 60) / tempo));
      out.push({ hypothesis, description, asked: priorShift(prior, tempo), folded });
    }
  }
  return out;
}

/** Phases (0..1 of a beat) at which onsets gather, and the one opposite the strongest. */
export function phasesOf(folded: FoldedCues): number[] {
  const beat = new Float64Array(BEAT_BINS);
  for (const name of ONSET_CUES) {
    const profile = folded[name];
    let power = 1e-12;
    for (const x of profile) power += x * x;
    const gain = 1 / Math.sqrt(power);
    for (let i = 0; i < profile.length; i++) beat[i % BEAT_BINS] += gain * profile[i];
  }
  const low = Math.min(...beat);
  const high = Math.max(...beat);
  const peaks: { phase: number; height: number }[] = [];
  for (let i = 0; i < BEAT_BINS; i++) {
    const left = beat[(i + BEAT_BINS - 1) % BEAT_BINS];
    const right = beat[(i + 1) % BEAT_BINS];
    if (beat[i] > left && beat[i] >= right && beat[i] - low > WEAKEST_PHASE * (high - low)) {
      peaks.push({ phase: (i + parabolicPeak(left, beat[i], right)) / BEAT_BINS, height: beat[i] });
    }
  }
  peaks.sort((a, b) => b.height - a.height);
  const phases = peaks.slice(0, MOST_PHASES).map((p) => ((p.phase % 1) + 1) % 1);
  for (const opposite of phases.slice(0, 1).map((p) => (p + 0.5) % 1)) {
    if (!phases.some((p) => Math.abs(p - opposite) < SAME_PHASE)) phases.push(opposite);
  }
  return phases;
}
