/**
 * Key by template correlation: the pitch classes of the track against each of 24 rotated profiles
 * (C. L. Krumhansl, "Cognitive Foundations of Musical Pitch", 1990, chapter 4). That finds the seven notes; which of
 * the two keys that share them is decided by relative.ts.
 */
import type { KeyEstimate } from '../../../shared/analysis.ts';
import type { BeatGrid } from '../../../shared/grid/grid.ts';
import { PITCH_CLASSES, pitchClasses } from './chroma.ts';
import type { HarmonyFeatures } from './harmony.ts';
import { MAJOR_TONICS, MINOR_TONICS } from '../../../shared/keys.ts';
import { chanceOfMinor, RELATIVE_STEPS, relativeFeatures } from './relative.ts';
import { keyScores } from './templates.ts';

/** How much notes of the bass count against those above: more would pull towards whatever chord lasts longest. */
const BASS_WEIGHT = 0.5;
/** Mean tonal share (over frames with sound) below which there are no notes to speak of. */
const LEAST_TONAL = 0.02;
/** Classes that must take part: fewer are a tuned drum or a drone, which have no key. */
const LEAST_CLASSES = 3;
const CLASS_SHARE = 0.1;

/** A lead beyond this says no more. */
const MOST_MARGIN = 0.25;
/** Names of the values of `pairFeatures`. */
export const PAIR_FEATURES = ['bias', 'lead', 'correlation'] as const;
/** Fitted by tests/bench/key-fit.ts on 1923 generated pieces. */
const PAIR_WEIGHTS: readonly number[] = [-3.687, 17.03, 5.305];

/** Correlation up to which there is no key, and from which there is no doubt that there is one (estimates). */
const LEAST_CORRELATION = 0.45;
const PLAIN_CORRELATION = 0.65;

/** What the estimate is made from; the calibration reads it too. */
export interface KeyEvidence {
  /** Pitch class of the minor tonic of the best pair of relative keys, 0 = C. */
  minorTonic: number;
  /** Larger correlation of the two keys, −1..1. */
  correlation: number;
  /** What speaks for the pair, one value for each of PAIR_FEATURES. */
  pair: number[];
  /** What speaks for the minor key of the pair (relative.ts). */
  relative: number[];
}

/**
 * The most likely key, or null when there are no notes (silence, noise, bare drums, a single tone).
 * @param grid where phrases begin, which tells a key from its relative; without it that is asked of the notes alone
 */
export function estimateKey(features: HarmonyFeatures, grid: BeatGrid | null = null): KeyEstimate | null {
  const evidence = keyEvidence(features, grid);
  if (!evidence) return null;
  const { minorTonic, relative } = evidence;
  const minor = chanceOfMinor(relative);
  const name =
    minor >= 0.5
      ? `${MINOR_TONICS[minorTonic]} minor`
      : `${MAJOR_TONICS[(minorTonic + RELATIVE_STEPS) % PITCH_CLASSES]} major`;
  return { name, confidence: chanceOfPair(evidence) * Math.max(minor, 1 - minor) };
}

/** The figures behind `estimateKey`, or null as there. */
export function keyEvidence(features: HarmonyFeatures, grid: BeatGrid | null = null): KeyEvidence | null {
  let tonal = 0;
  let sounding = 0;
  for (const share of features.tonal) {
    tonal += share;
    if (share > 0) sounding++;
  }
  if (!sounding || tonal / features.length < LEAST_TONAL) return null;
  const whole = pitchClasses(features, 0, features.length, BASS_WEIGHT);
  const top = Math.max(...whole);
  if (!(top > 0) || whole.filter((w) => w > CLASS_SHARE * top).length < LEAST_CLASSES) return null;

  const scores = keyScores(whole);
  const pairs = scores.minor.map((minor, tonic) =>
    Math.max(minor, scores.major[(tonic + RELATIVE_STEPS) % PITCH_CLASSES]),
  );
  const correlation = Math.max(...pairs);
  const minorTonic = pairs.indexOf(correlation);
  const others = pairs.filter((_, tonic) => tonic !== minorTonic);
  return {
    minorTonic,
    correlation,
    pair: [1, Math.min(MOST_MARGIN, correlation - Math.max(...others)), correlation],
    relative: relativeFeatures(features, scores, minorTonic, grid),
  };
}

/**
 * Chance that the key is one of the pair. What fits no key well is no music with a key at all (tuned drums, speech),
 * so there the chance falls to 0.
 */
function chanceOfPair({ pair, correlation }: KeyEvidence): number {
  const logit = pair.reduce((sum, value, i) => sum + PAIR_WEIGHTS[i] * value, 0);
  const musical = (correlation - LEAST_CORRELATION) / (PLAIN_CORRELATION - LEAST_CORRELATION);
  return Math.min(1, Math.max(0, musical)) / (1 + Math.exp(-logit));
}
