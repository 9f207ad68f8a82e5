/**
 * What the grid keeps of the samples: band energies at a fine hop and a coarse harmonic picture. Everything
 * after the filters works on these, so memory grows by about 8 KB per second of music and no sample is kept.
 */

/** The grid's own bands, in the order of `GridFeatures.energy`. */
export const GRID_BANDS = ['bass', 'body', 'middle', 'presence', 'air'] as const;
export const BASS = 0;
export const BODY = 1;
export const MIDDLE = 2;
export const PRESENCE = 3;
export const AIR = 4;

export interface GridFeatures {
  /** s of one frame, about 3 ms (a whole number of samples). */
  hop: number;
  /** Number of frames; frame j covers [j, j + 1) hops. */
  frames: number;
  /** s of audio */
  duration: number;
  /** energy[band][frame]: mean power in the frame. */
  energy: Float32Array[];
  harmony: Harmony;
}

/** Semitone magnitudes, log-compressed. */
export interface Harmony {
  /** s between frames; frame n is centred at `offset + n × hop`. */
  hop: number;
  offset: number;
  frames: number;
  /** Values per frame, one per semitone from HARMONY_LOWEST_HZ. */
  bins: number;
  /** data[frame × bins + bin] */
  data: Float32Array;
}

/** A1: below it a 5 Hz spectrum cannot tell semitones apart. */
export const HARMONY_LOWEST_HZ = 55;
/** Five octaves: bass line to lead. */
export const HARMONY_BINS = 60;
