/** Choosing among hypotheses by fitted weights. */
import type { Described } from './hypotheses.ts';
import { BAR_BEATS, type Features, type FoldedCues, type Hypothesis } from './metre.ts';
import { BEAT_WEIGHTS } from './weights.ts';

export interface Decision {
  hypothesis: Hypothesis;
  /** The cues folded at its tempo. */
  folded: FoldedCues;
  /** 0..1: softmax share of this tempo and phase among all. */
  probability: number;
  /** 0..1: softmax share of this tempo at any phase. */
  tempoProbability: number;
  /** Share of each place for the start of a bar of four (beat d of the folded cycle), adding up to 1. */
  bars: number[];
}

/** The most likely hypothesis; null for an empty list. */
export function decide(described: Described[]): Decision | null {
  const scores = described.map(({ description, asked }) => {
    const beat = scoreOf(description.beat) + asked;
    return description.bars.map((bar) => beat + scoreOf(bar));
  });
  const top = Math.max(...scores.flat());
  const shares = scores.map((bars) => bars.map((s) => Math.exp(s - top)));
  const whole = shares.map((bars) => bars.reduce((a, b) => a + b, 0));
  const total = whole.reduce((a, b) => a + b, 0);
  let best = -1;
  whole.forEach((share, i) => {
    if (best < 0 || share > whole[best]) best = i;
  });
  if (best < 0) return null;
  const { hypothesis, folded } = described[best];
  const sameTempo = whole.reduce(
    (sum, share, i) => sum + (described[i].hypothesis.ratio === hypothesis.ratio ? share : 0),
    0,
  );
  return {
    hypothesis,
    folded,
    probability: whole[best] / total,
    tempoProbability: sameTempo / total,
    bars: Array.from({ length: BAR_BEATS }, (_, d) => shares[best][d] / whole[best]),
  };
}

function scoreOf(features: Features): number {
  let sum = 0;
  for (const [name, value] of features) sum += (BEAT_WEIGHTS[name] ?? 0) * value;
  return sum;
}
