/**
 * How much a track changes at a bar line: the checkerboard of J. Foote, "Automatic audio segmentation using a
 * measure of audio novelty" (ICME 2000), on a self-similarity matrix of bars.
 *
 * Distances are in units of what is plainly heard, not scaled to the track, so that a loop that only ripples has
 * no novelty anywhere: the matrix is white all over.
 */
import { BANDS } from '../../../shared/bands.ts';
import { type CellFeatures, meanChroma } from './features.ts';

/** A change of a band's level that is plainly heard, dB. */
const LEVEL_UNIT_DB = 6;
/** A change of pulse that is plainly heard, as a share of the liveliest bars. */
const PULSE_UNIT = 0.5;
/** Longest stretch to each side of a bar line that is compared, cells. */
export const REACH = 16;
/** Weight of a change of harmony, and the distance between two halves of one chord loop that is ignored. */
const HARMONY_WEIGHT = 0.6;
const HARMONY_DEAD = 0.12;
/** Cells to each side before harmony is compared: less than a chord loop differs from the next for nothing. */
const HARMONY_LEAST = 4;
/** Tonal share from which a stretch has a harmony at all. */
const TONAL_LEAST = 0.08;

/** Weight of a cell by its distance from the bar line, −REACH .. REACH−1: a Gaussian, as Foote has it. */
const TAPER = Float64Array.from({ length: 2 * REACH }, (_, i) =>
  Math.exp(-2 * ((i - REACH + 0.5) / REACH) ** 2),
);

export class SelfSimilarity {
  private readonly values: Float32Array;
  private readonly count: number;

  constructor(private readonly features: CellFeatures) {
    const n = (this.count = features.count);
    this.values = new Float32Array(n * n);
    for (let i = 0; i < n; i++) {
      this.values[i * n + i] = 1;
      for (let j = i + 1; j < n; j++) {
        let square = 0;
        for (let band = 0; band < BANDS.length; band++) {
          square += ((features.level[band][i] - features.level[band][j]) / LEVEL_UNIT_DB) ** 2;
          square += ((features.pulse[band][i] - features.pulse[band][j]) / PULSE_UNIT) ** 2;
        }
        this.values[i * n + j] = this.values[j * n + i] = Math.exp(-square / 2);
      }
    }
  }

  /**
   * Novelty at the start of cell `at`, comparing back to `from` and on to `to` (both within REACH): mean similarity
   * within the two sides minus that across, weighted by nearness, plus the change of harmony.
   * @returns about 0 (nothing changes) to 1 (nothing stays)
   */
  novelty(from: number, at: number, to: number): number {
    const first = Math.max(from, at - REACH);
    const last = Math.min(to, at + REACH);
    if (at <= first || last <= at) return 0;
    const before = this.mean(first, at, first, at, at);
    const after = this.mean(at, last, at, last, at);
    const across = this.mean(first, at, at, last, at);
    return Math.max(0, (before + after) / 2 - across) + this.harmony(first, at, last);
  }

  /** Mean similarity of cells [a, b) with [c, d), tapered around `at`. */
  private mean(a: number, b: number, c: number, d: number, at: number): number {
    let sum = 0;
    let weights = 0;
    for (let i = a; i < b; i++) {
      const wi = TAPER[i - at + REACH];
      for (let j = c; j < d; j++) {
        if (i === j) continue;
        const weight = wi * TAPER[j - at + REACH];
        sum += weight * this.values[i * this.count + j];
        weights += weight;
      }
    }
    return weights > 0 ? sum / weights : 1;
  }

  private harmony(first: number, at: number, last: number): number {
    const span = Math.min(at - first, last - at);
    if (span < HARMONY_LEAST) return 0;
    const { tonal } = this.features;
    const share = (from: number, to: number) => {
      let sum = 0;
      for (let i = from; i < to; i++) sum += tonal[i];
      return sum / (to - from);
    };
    if (share(at - span, at) < TONAL_LEAST || share(at, at + span) < TONAL_LEAST) return 0;
    // Whole multiples of four cells, so that a chord loop is compared with a whole chord loop.
    const whole = span - (span % HARMONY_LEAST);
    return HARMONY_WEIGHT * Math.max(0, this.harmonyDistance(at - whole, at, at + whole) - HARMONY_DEAD);
  }

  /** 1 − cosine between the pitch classes of [from, at) and [at, to). */
  harmonyDistance(from: number, at: number, to: number): number {
    const a = meanChroma(this.features, from, at);
    const b = meanChroma(this.features, at, to);
    return 1 - a.reduce((sum, v, i) => sum + v * b[i], 0);
  }
}
