/** From chroma of three bins per semitone to pitch classes in the track's own tuning. */
import type { HarmonyFeatures } from './harmony.ts';
import { CHROMA_BINS } from './tonal-frame.ts';

export const PITCH_CLASSES = 12;
const BINS_PER_CLASS = CHROMA_BINS / PITCH_CLASSES;

/**
 * Pitch classes (12 weights, C first) of frames `from` to `to` (exclusive), summed with the frames' tonal share as
 * weight, so that drums count for little.
 * @param bassWeight how much notes of the bass count against those above
 */
export function pitchClasses(
  features: HarmonyFeatures,
  from: number,
  to: number,
  bassWeight: number,
): Float64Array {
  const bins = new Float64Array(CHROMA_BINS);
  for (let frame = Math.max(0, from); frame < Math.min(to, features.length); frame++) {
    const share = features.tonal[frame];
    const start = frame * CHROMA_BINS;
    for (let bin = 0; bin < CHROMA_BINS; bin++) {
      bins[bin] += share * (features.upper[start + bin] + bassWeight * features.bass[start + bin]);
    }
  }
  return foldToClasses(bins, features.tuningCents);
}

/** Each class takes the bins within one semitone of it, those at its centre fully (raised cosine). */
function foldToClasses(bins: Float64Array, tuningCents: number): Float64Array {
  const classes = new Float64Array(PITCH_CLASSES);
  const shift = (tuningCents / 100) * BINS_PER_CLASS;
  for (let pitch = 0; pitch < PITCH_CLASSES; pitch++) {
    const centre = pitch * BINS_PER_CLASS + shift;
    for (let bin = Math.ceil(centre - BINS_PER_CLASS); bin <= centre + BINS_PER_CLASS; bin++) {
      const weight = 0.5 + 0.5 * Math.cos((Math.PI * (bin - centre)) / BINS_PER_CLASS);
      classes[pitch] += weight * bins[(bin + CHROMA_BINS) % CHROMA_BINS];
    }
  }
  return classes;
}
