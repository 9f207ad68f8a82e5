/** Compares the grid's tempo with that of a second, general-purpose detector. */

/**
 * Largest relative difference at which two tempi count as the same. The second detector takes intervals
 * between single peaks and gathers tempi that lie within half a beat per minute, which is 0.7 % at 70 bpm;
 * 1 % leaves a little for that. Wider would not help a DJ: the 4 % that is usual when tempo estimators are
 * scored (Gouyon et al. 2006, "An experimental comparison of audio tempo induction algorithms") is the step
 * from 124 to 129 bpm.
 */
export const TEMPO_TOLERANCE = 0.01;

/** Ratios that are the same pulse counted at another level. */
const OCTAVES = [
  { ratio: 2, words: 'twice' },
  { ratio: 1 / 2, words: 'half' },
  { ratio: 4, words: 'four times' },
  { ratio: 1 / 4, words: 'a quarter of' },
] as const;

/** Ratios worth a word, because they show what went wrong: counting in threes, or dotted notes. */
const NEAR_MISSES = [
  { ratio: 3 / 2, words: 'three beats to two of ours' },
  { ratio: 2 / 3, words: 'two beats to three of ours' },
  { ratio: 4 / 3, words: 'four beats to three of ours' },
  { ratio: 3 / 4, words: 'three beats to four of ours' },
] as const;

export type TempoVerdict = 'agrees' | 'octave' | 'differs' | 'none';

export interface TempoComparison {
  verdict: TempoVerdict;
  /** One plain sentence for the person. */
  sentence: string;
}

/**
 * @param ours the grid's tempo, bpm, or null where it found no steady beat
 * @param theirs the second detector's tempo, bpm, or null where it found none
 * @returns `none` when there is nothing to compare with
 */
export function compareTempo(ours: number | null, theirs: number | null): TempoComparison {
  if (!usable(theirs)) {
    return usable(ours)
      ? { verdict: 'none', sentence: 'The second tempo detector found no beat, so this tempo stands alone.' }
      : { verdict: 'none', sentence: 'Neither of the two tempo detectors found a steady beat.' };
  }
  const said = `${figures(theirs)} bpm`;
  if (!usable(ours)) {
    return {
      verdict: 'differs',
      sentence: `The second tempo detector hears ${said} where this one finds no steady beat: check by ear.`,
    };
  }
  if (near(theirs, ours)) {
    return { verdict: 'agrees', sentence: `The second tempo detector agrees: ${said}.` };
  }
  const octave = OCTAVES.find(({ ratio }) => near(theirs, ours * ratio));
  if (octave) {
    return {
      verdict: 'octave',
      sentence: `The second tempo detector hears the same pulse at ${octave.words} the tempo: ${said}.`,
    };
  }
  const miss = NEAR_MISSES.find(({ ratio }) => near(theirs, ours * ratio));
  return {
    verdict: 'differs',
    sentence:
      `The second tempo detector hears ${said} instead of ${figures(ours)}` +
      `${miss ? ` (${miss.words})` : ''}: check the grid by ear.`,
  };
}

function usable(bpm: number | null): bpm is number {
  return bpm !== null && Number.isFinite(bpm) && bpm > 0;
}

function near(bpm: number, expected: number): boolean {
  return Math.abs(bpm - expected) <= TEMPO_TOLERANCE * expected;
}

/** Two decimals at most, without trailing zeros. */
function figures(bpm: number): string {
  return String(Math.round(bpm * 100) / 100);
}
