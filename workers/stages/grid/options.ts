/** What tempo is expected where the music itself leaves the octave open. */
export interface TempoPrior {
  /** Most expected tempo, beats per minute. */
  centreBpm: number;
  /** Standard deviation of log2(tempo / centre): smaller means surer. */
  widthOctaves: number;
  /** The grid's tempo is brought into this range by octaves. */
  minBpm: number;
  maxBpm: number;
}

export interface GridOptions {
  tempoPrior?: Partial<TempoPrior>;
}

/** Width of the prior of somebody who names a tempo, octaves: a sixth of the way to a third more (estimate). */
const NAMED_WIDTH_OCTAVES = 0.12;
/** Tempi that can be named, beats per minute. */
export const SLOWEST_BPM = 40;
export const FASTEST_BPM = 300;

/**
 * The prior of somebody who says what the tempo is about: an octave of which it is the middle, so that half and double
 * of it are out, and within that octave the nearer the likelier.
 * @throws RangeError for what is no tempo
 */
export function priorAround(bpm: number): TempoPrior {
  if (!(bpm >= SLOWEST_BPM && bpm <= FASTEST_BPM)) {
    throw new RangeError(`A tempo is from ${SLOWEST_BPM} to ${FASTEST_BPM} beats per minute.`);
  }
  const half = Math.SQRT2 * (1 + RANGE_SLACK);
  return { centreBpm: bpm, widthOctaves: NAMED_WIDTH_OCTAVES, minBpm: bpm / half, maxBpm: bpm * half };
}

/** Keeps an octave's range an octave in spite of rounding. */
const RANGE_SLACK = 1e-6;

/** Club music: estimate, no source. The range is that of the project's brief. */
export const DEFAULT_PRIOR: TempoPrior = { centreBpm: 126, widthOctaves: 0.55, minBpm: 70, maxBpm: 180 };

export function resolvePrior(options: GridOptions = {}): TempoPrior {
  const prior = { ...DEFAULT_PRIOR, ...options.tempoPrior };
  // Anything narrower than an octave would leave some tempi without a place.
  if (!(prior.minBpm > 0) || prior.maxBpm < 2 * prior.minBpm) {
    throw new RangeError('The tempo range must span at least an octave.');
  }
  return prior;
}

/**
 * By how much a person's prior changes the log odds of a tempo: the fitted weights (decide.ts) know what is usual in
 * club music, so only the difference from DEFAULT_PRIOR counts.
 */
export function priorShift(prior: TempoPrior, bpm: number): number {
  return logDensity(prior, bpm) - logUsual(bpm);
}

/** log of the density of DEFAULT_PRIOR at a tempo, 0 at its centre. */
export function logUsual(bpm: number): number {
  return logDensity(DEFAULT_PRIOR, bpm);
}

/** log of the density at a tempo, 0 at the centre. */
function logDensity(prior: TempoPrior, bpm: number): number {
  return -0.5 * (Math.log2(bpm / prior.centreBpm) / prior.widthOctaves) ** 2;
}
