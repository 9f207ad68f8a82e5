/**
 * A major key or its relative minor: both have the same notes, so the notes of the whole track hardly tell. What
 * does is where the music comes to rest: loops begin on the tonic (common practice, no source), so the bass and the
 * chord at the start of each phrase speak for it. The raised seventh of the minor key does not help: it is the fifth
 * partial of that key's own fifth.
 */
import { beatsBetween, timeOfBeat, type BeatGrid } from '../../../shared/grid/grid.ts';
import { PITCH_CLASSES, pitchClasses } from './chroma.ts';
import type { HarmonyFeatures } from './harmony.ts';
import type { KeyScores } from './templates.ts';

/** From a minor tonic up to that of its relative major, semitones. */
export const RELATIVE_STEPS = 3;
const FIFTH = 7;
/** The fifth of the relative major: the note of its triad that the minor triad lacks. */
const MAJOR_FIFTH = 10;

const PHRASE_BARS = 8;
/** Beats at the start of a phrase whose chord is taken: the first half of the bar. */
const START_BEATS = 2;

const BASS_ONLY = 1e6;

/** Names of the values of `relativeFeatures`; positive values speak for the minor key as a rule. */
export const RELATIVE_FEATURES = [
  'bias',
  'profile',
  'triad',
  'bass tonic',
  'bass fifth',
  'triad at phrases',
  'bass at phrases',
  'triad between phrases',
  'bass between phrases',
] as const;
/** The first ones, which need no phrases. */
export const NOTE_FEATURES = 5;

/** Fitted by tests/bench/key-fit.ts on 1103 generated pieces of which the phrases are known (rightly or not). */
const WEIGHTS: readonly number[] = [0.3227, 6.983, 0.8553, 1.374, 1.521, 1.658, 1.817, -0.0238, 0.4006];
/** Where no phrases are known, so that those before the phrases have to speak for all. */
const WEIGHTS_WITHOUT_PHRASES: readonly number[] = [0.4351, 8.891, 2.1, 4.109, 0.6083];

/**
 * What speaks for the minor key on `tonic` against the major key three semitones above, one value for each of
 * RELATIVE_FEATURES. Without a grid, or where its phrases are not known, those of phrases are 0.
 */
export function relativeFeatures(
  features: HarmonyFeatures,
  scores: KeyScores,
  tonic: number,
  grid: BeatGrid | null,
): number[] {
  const all = (classes: Float64Array, step: number) => classes[(tonic + step) % PITCH_CLASSES];
  const triad = (classes: Float64Array) => all(classes, 0) - all(classes, MAJOR_FIFTH);
  const bassTonic = (classes: Float64Array) => all(classes, 0) - all(classes, RELATIVE_STEPS);
  const over = (spans: Span[], bassWeight: number) => shareOf(features, spans, bassWeight);
  const whole: Span[] = [[0, features.length * features.hop]];
  const notes = over(whole, 1);
  const bass = over(whole, BASS_ONLY);
  const starts = phraseStarts(grid, 0);
  const middles = phraseStarts(grid, PHRASE_BARS / 2);
  return [
    1,
    scores.minor[tonic] - scores.major[(tonic + RELATIVE_STEPS) % PITCH_CLASSES],
    triad(notes),
    bassTonic(bass),
    all(bass, FIFTH) - all(bass, MAJOR_FIFTH),
    triad(over(starts, 1)),
    bassTonic(over(starts, BASS_ONLY)),
    triad(over(middles, 1)),
    bassTonic(over(middles, BASS_ONLY)),
  ];
}

/** Chance of the minor key, 0..1, given that it is one of the two. */
export function chanceOfMinor(values: readonly number[]): number {
  const weights = values.slice(NOTE_FEATURES).some((value) => value !== 0)
    ? WEIGHTS
    : WEIGHTS_WITHOUT_PHRASES;
  return 1 / (1 + Math.exp(-weights.reduce((sum, weight, i) => sum + weight * values[i], 0)));
}

/** [from, to) in s */
type Span = [number, number];

/** Pitch classes of some stretches as shares that add up to 1, or all 0. */
function shareOf(features: HarmonyFeatures, spans: Span[], bassWeight: number): Float64Array {
  const sum = new Float64Array(PITCH_CLASSES);
  for (const [from, to] of spans) {
    const first = Math.ceil(from / features.hop);
    const found = pitchClasses(features, first, Math.ceil(to / features.hop), bassWeight);
    for (let i = 0; i < sum.length; i++) sum[i] += found[i];
  }
  const total = sum.reduce((a, b) => a + b, 0);
  return total > 0 ? sum.map((x) => x / total) : sum;
}

/** First beats of every phrase of eight bars, or of the bar `later` bars after its start. */
function phraseStarts(grid: BeatGrid | null, later: number): Span[] {
  if (!grid || grid.kind === 'none' || grid.phraseOffsetBars === null) return [];
  const period = PHRASE_BARS * grid.beatsPerBar;
  const first = (grid.phraseOffsetBars + later) * grid.beatsPerBar - grid.firstBeatInBar;
  return beatsBetween(grid, 0, grid.endTime)
    .filter(({ beat }) => (((beat - first) % period) + period) % period === 0)
    .map(({ time, beat }) => [time, timeOfBeat(grid, beat + START_BEATS)]);
}
