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

/** log of the prior's density at a tempo, 0 at the centre. */
export function logPrior(prior: TempoPrior, bpm: number): number {
  return -0.5 * (Math.log2(bpm / prior.centreBpm) / prior.widthOctaves) ** 2;
}
