/**
 * Key by template correlation: the pitch classes of the track against each of 24 rotated profiles
 * (C. L. Krumhansl, "Cognitive Foundations of Musical Pitch", 1990, chapter 4).
 */
import type { KeyEstimate } from '../../../shared/analysis.ts';
import { PITCH_CLASSES, pitchClasses } from './chroma.ts';
import type { HarmonyFeatures } from './harmony.ts';
import { MAJOR_PROFILE, MAJOR_TONICS, MINOR_PROFILE, MINOR_TONICS } from './key-profiles.ts';

/** How much notes of the bass count against those above: more would pull towards whatever chord lasts longest. */
const BASS_WEIGHT = 0.5;
/**
 * Added to the correlation of minor keys. A major key and its relative minor share their notes, and club music is
 * mostly in minor (common practice, no source), so that the doubt goes to the minor one.
 */
const MINOR_LEAN = 0.06;
/** Mean tonal share (over frames with sound) below which there are no notes to speak of. */
const LEAST_TONAL = 0.02;
/** Classes that must take part: fewer are a tuned drum or a drone, which have no key. */
const LEAST_CLASSES = 3;
const CLASS_SHARE = 0.15;

/** A lead beyond this says no more. */
const MOST_MARGIN = 0.2;

/** Correlation up to which there is no key, and from which there is no doubt that there is one (estimates). */
const LEAST_CORRELATION = 0.45;
const PLAIN_CORRELATION = 0.65;

/** What the estimate was made from; exported for the calibration. */
export interface KeyEvidence {
  name: string;
  /** Correlation of the best key (with the lean towards minor), −1..1. */
  correlation: number;
  /** Its lead over the second best. */
  margin: number;
}

/** The most likely key, or null when there are no notes (silence, noise, bare drums, a single tone). */
export function estimateKey(features: HarmonyFeatures): KeyEstimate | null {
  const evidence = keyEvidence(features);
  return evidence && { name: evidence.name, confidence: keyConfidence(evidence) };
}

/** The figures behind `estimateKey`, or null as there. */
export function keyEvidence(features: HarmonyFeatures): KeyEvidence | null {
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

  const scores = correlations(whole);
  const best = argmax(scores);
  const second = Math.max(...scores.filter((_, key) => key !== best));
  return { name: keyName(best), correlation: scores[best], margin: scores[best] - second };
}

/**
 * Chance that the key is right: a logistic curve in the lead, fitted by likelihood on 150 pieces of the generator in
 * tests/key/pieces.ts. Most of what it is unsure of are loops that two related keys explain alike. The calibration
 * test draws other pieces from the same generator. What fits no key well is not such a piece at all (tuned drums,
 * speech), so there the chance falls to 0.
 */
export function keyConfidence({ correlation, margin }: KeyEvidence): number {
  const logit = 0.22 + 14.65 * Math.min(margin, MOST_MARGIN);
  const musical = (correlation - LEAST_CORRELATION) / (PLAIN_CORRELATION - LEAST_CORRELATION);
  return Math.min(1, Math.max(0, musical)) / (1 + Math.exp(-logit));
}

/** Correlation with the keys: 12 major from C up, then 12 minor from C up. */
function correlations(classes: Float64Array): number[] {
  const scores: number[] = [];
  for (const profile of [MAJOR_PROFILE, MINOR_PROFILE]) {
    const lean = profile === MINOR_PROFILE ? MINOR_LEAN : 0;
    for (let tonic = 0; tonic < PITCH_CLASSES; tonic++)
      scores.push(correlation(classes, profile, tonic) + lean);
  }
  return scores;
}

/** Pearson correlation of the classes, seen from the tonic, with a profile; 0 for flat classes. */
function correlation(classes: Float64Array, profile: readonly number[], tonic: number): number {
  const n = PITCH_CLASSES;
  let [sx, sy, sxx, syy, sxy] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const x = classes[(tonic + i) % n];
    const y = profile[i];
    sx += x;
    sy += y;
    sxx += x * x;
    syy += y * y;
    sxy += x * y;
  }
  const spread = Math.sqrt((sxx - (sx * sx) / n) * (syy - (sy * sy) / n));
  return spread > 1e-12 ? (sxy - (sx * sy) / n) / spread : 0;
}

function argmax(values: readonly number[]): number {
  return values.reduce((best, value, i) => (value > values[best] ? i : best), 0);
}

function keyName(key: number): string {
  return key < PITCH_CLASSES ? `${MAJOR_TONICS[key]} major` : `${MINOR_TONICS[key - PITCH_CLASSES]} minor`;
}
