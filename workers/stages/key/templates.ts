/** Pitch classes against the profiles of all keys. */
import { PITCH_CLASSES } from './chroma.ts';
import { MAJOR_PROFILE, MINOR_PROFILE } from './key-profiles.ts';

export interface KeyScores {
  /** Correlation with the major key on each pitch class, C first, −1..1. */
  major: number[];
  /** The same for the minor keys. */
  minor: number[];
}

export function keyScores(classes: Float64Array): KeyScores {
  const against = (profile: readonly number[]) =>
    Array.from({ length: PITCH_CLASSES }, (_, tonic) => correlation(classes, profile, tonic));
  return { major: against(MAJOR_PROFILE), minor: against(MINOR_PROFILE) };
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
