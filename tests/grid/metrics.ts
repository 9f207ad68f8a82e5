/**
 * Measures of beat tracking as defined in M. E. P. Davies, N. Degara, M. D. Plumbley, "Evaluation methods for
 * musical audio beat tracking algorithms", technical report C4DM-TR-09-06, Queen Mary University of London,
 * 2009; and our own worst deviation. All times in seconds, rising.
 */

/** F-measure window of the report: ±70 ms. */
export const F_WINDOW_SECONDS = 0.07;
/** Tolerances of the continuity measures: shares of the interval between annotations. */
export const PHASE_TOLERANCE = 0.175;
export const PERIOD_TOLERANCE = 0.175;

/** Harmonic mean of precision and recall with one beat per annotation within ±`window`. 0..1 */
export function fMeasure(
  annotations: readonly number[],
  beats: readonly number[],
  window = F_WINDOW_SECONDS,
): number {
  if (!annotations.length || !beats.length) return 0;
  let hits = 0;
  let b = 0;
  // Both lists rise, so taking the earliest free beat in each window pairs as many as can be.
  for (const a of annotations) {
    while (b < beats.length && beats[b] < a - window) b++;
    if (b < beats.length && beats[b] <= a + window) {
      hits++;
      b++;
    }
  }
  const falsePositives = beats.length - hits;
  const falseNegatives = annotations.length - hits;
  return (2 * hits) / (2 * hits + falsePositives + falseNegatives);
}

export interface Continuity {
  /** Longest run of correct beats, as a share of all. */
  c: number;
  /** All correct beats, as a share of all. */
  t: number;
}

/**
 * Continuity at the annotated level: a beat is correct when it lies within PHASE_TOLERANCE of an annotation,
 * the beat before lies within it of the annotation before, and the two intervals agree within
 * PERIOD_TOLERANCE.
 */
export function continuity(annotations: readonly number[], beats: readonly number[]): Continuity {
  if (annotations.length < 2 || beats.length < 2) return { c: 0, t: 0 };
  const correct = beats.map((beat, i) => isCorrect(annotations, beats, beat, i));
  let run = 0;
  let longest = 0;
  let total = 0;
  for (const ok of correct) {
    run = ok ? run + 1 : 0;
    longest = Math.max(longest, run);
    if (ok) total++;
  }
  const all = Math.max(annotations.length, beats.length);
  return { c: longest / all, t: total / all };
}

function isCorrect(
  annotations: readonly number[],
  beats: readonly number[],
  beat: number,
  i: number,
): boolean {
  const a = nearest(annotations, beat);
  // The first of either list has none before it: the report then goes by the interval that follows.
  const step = i === 0 || a === 0 ? 1 : -1;
  const otherBeat = beats[i + step];
  const otherAnnotation = annotations[a + step];
  if (otherBeat === undefined || otherAnnotation === undefined) return false;
  const interval = Math.abs(otherAnnotation - annotations[a]);
  return (
    Math.abs(beat - annotations[a]) < PHASE_TOLERANCE * interval &&
    Math.abs(otherBeat - otherAnnotation) < PHASE_TOLERANCE * interval &&
    Math.abs(1 - Math.abs(otherBeat - beat) / interval) < PERIOD_TOLERANCE
  );
}

/** CMLt: correct metrical level, continuity not required. */
export function cmlt(annotations: readonly number[], beats: readonly number[]): number {
  return continuity(annotations, beats).t;
}

/** AMLt: the best over the allowed levels (as annotated, off-beat, double, half from either beat). */
export function amlt(annotations: readonly number[], beats: readonly number[]): number {
  return Math.max(...allowedLevels(annotations).map((level) => continuity(level, beats).t));
}

/** The sequences that the report allows for AML. */
export function allowedLevels(annotations: readonly number[]): number[][] {
  const middles = annotations.slice(1).map((a, i) => (a + annotations[i]) / 2);
  const double = annotations.flatMap((a, i) => (i < middles.length ? [a, middles[i]] : [a]));
  return [
    [...annotations],
    middles,
    double,
    annotations.filter((_, i) => i % 2 === 0),
    annotations.filter((_, i) => i % 2 === 1),
  ];
}

/** Largest distance from an annotation to its nearest beat, s. Infinity without beats. */
export function worstDeviation(annotations: readonly number[], beats: readonly number[]): number {
  if (!beats.length) return Infinity;
  let worst = 0;
  for (const a of annotations) worst = Math.max(worst, Math.abs(beats[nearest(beats, a)] - a));
  return worst;
}

/** Index of the nearest of a rising list. */
export function nearest(list: readonly number[], value: number): number {
  let low = 0;
  let high = list.length - 1;
  while (low < high) {
    const mid = (low + high) >> 1;
    if (list[mid] < value) low = mid + 1;
    else high = mid;
  }
  return low > 0 && value - list[low - 1] <= list[low] - value ? low - 1 : low;
}
