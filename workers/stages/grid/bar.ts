/** Bars of three or four, and where a bar of three begins. */
import type { Cues } from './cues.ts';
import { hitsAt, ON, type FoldedCues } from './metre.ts';
import { THREE_BAR_WEIGHTS, THREE_WEIGHTS } from './weights.ts';

/** Cues that differ from beat to beat of a bar. */
export const METRE_CUES = [
  'kick',
  'snare',
  'bass',
  'presence',
  'harmony',
  'bassNote',
  'freshLow',
] as const satisfies (keyof Cues)[];
/** Cues that tell where a bar of three begins. */
const PLACE_CUES = [...METRE_CUES, 'chord', 'entry', 'freshHigh'] as const satisfies (keyof Cues)[];

/**
 * How far beats repeat by threes rather than by fours.
 * @param lagScore autocorrelation at a number of beats
 */
export function metreFeatures(
  folded: FoldedCues,
  shift: number,
  lagScore: (beats: number) => number,
): [string, number][] {
  const out: [string, number][] = [
    ['bias', 1],
    ['repeats 3 against 4', lagScore(3) - lagScore(4)],
    ['repeats 6 against 8', lagScore(6) - lagScore(8)],
    ['repeats 3 against 2', lagScore(3) - lagScore(2)],
  ];
  for (const name of METRE_CUES) {
    const hits = hitsAt(folded[name], shift, ON);
    const three = spreadOf(hits, 3);
    const four = spreadOf(hits, 4);
    // As a share: a cue that hardly ever sounds varies more, whatever the bar.
    out.push([`${name} by 3 against 4`, (three - four) / (three + four + 0.1)]);
  }
  return out;
}

/** Chance that the bar has three beats, 0..1. */
export function chanceOfThree(features: [string, number][]): number {
  return 1 / (1 + Math.exp(-dot(features, THREE_WEIGHTS)));
}

/** What the cues say of a bar of three that begins on beat d. */
export function threeBarFeatures(folded: FoldedCues, shift: number, d: number): [string, number][] {
  return PLACE_CUES.map((name) => {
    const hits = hitsAt(folded[name], shift, ON);
    const all = hits.reduce((a, b) => a + b, 0) / hits.length + 1e-9;
    const first =
      hits.filter((_, i) => (i - d + 12) % 3 === 0).reduce((a, b) => a + b, 0) / (hits.length / 3);
    return [name, first / all - 1];
  });
}

/** Share of each place (0..2) for the start of a bar of three, adding up to 1. */
export function threeBars(folded: FoldedCues, shift: number): number[] {
  const scores = [0, 1, 2].map((d) => Math.exp(dot(threeBarFeatures(folded, shift, d), THREE_BAR_WEIGHTS)));
  const total = scores.reduce((a, b) => a + b, 0);
  return scores.map((s) => s / total);
}

/** Deviation between the beats of a bar against their mean. */
function spreadOf(hits: number[], beats: number): number {
  const means = Array.from({ length: beats }, (_, i) => {
    const list = hits.filter((_x, k) => k % beats === i);
    return list.reduce((a, b) => a + b, 0) / list.length;
  });
  const all = means.reduce((a, b) => a + b, 0) / beats + 1e-9;
  return Math.sqrt(means.reduce((sum, x) => sum + (x / all - 1) ** 2, 0) / beats);
}

function dot(features: [string, number][], weights: Record<string, number>): number {
  let sum = 0;
  for (const [name, value] of features) sum += (weights[name] ?? 0) * value;
  return sum;
}
