/**
 * The three bands that every display in Boothproof is built from. The frequencies stand here and nowhere else.
 * Common practice, no source: bass below about 200 Hz holds kick and bass line, treble above about 2.5 kHz
 * holds hats and air.
 */

/** Band names in the order of every per-band array in the project. */
export const BANDS = ['bass', 'middle', 'treble'] as const;
export type Band = (typeof BANDS)[number];

/** Crossover between bass and middle, in Hz. */
export const BASS_MIDDLE_HZ = 200;
/** Crossover between middle and treble, in Hz. */
export const MIDDLE_TREBLE_HZ = 2500;

/**
 * Layers of the pyramid: the three bands, then the whole signal (whose peak cannot be had from the bands').
 */
export const LAYERS = [...BANDS, 'full'] as const;
export type Layer = (typeof LAYERS)[number];
