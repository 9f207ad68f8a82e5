/**
 * True peak (ITU-R BS.1770-4, Annex 2): the largest value of the oversampled signal. Four times below 96 kHz,
 * twice below 192 kHz, then the samples themselves.
 *
 * Oversampling everything would cost more than the rest of the loudness together, so a stretch is oversampled
 * only when a bound on it says that it could beat the largest value so far. The bounds are strict, so what
 * comes out is the same as without them.
 */

import { CHUNK, type ChunkScan, createChunkScan } from './chunk-scan.ts';

/** Samples to each side of a gap that its interpolated values are made from. */
const REACH = 8;
const KAISER_BETA = 6;
/** Chunks in the buffer. One neighbour to each side must cover the filter: CHUNK is more than REACH. */
const BUFFER_CHUNKS = 256;
/** Room in the bounds for the rounding of single-precision second differences. */
const SLACK = 1 + 1e-5;

export interface Interpolator {
  /** Between 0 and 1: where in the gap this phase lies. */
  at: number;
  /** Weights of samples −REACH+1 .. REACH around the gap's left sample. */
  taps: Float64Array;
}

/** Oversampling factor that BS.1770-4 asks for at this rate. */
export function oversampling(sampleRate: number): 1 | 2 | 4 {
  return sampleRate >= 192000 ? 1 : sampleRate >= 96000 ? 2 : 4;
}

/**
 * Kaiser-windowed sinc for each place between two samples, corrected to reproduce a straight line exactly
 * (which the bound by second differences needs).
 */
export function interpolators(factor: number): Interpolator[] {
  return Array.from({ length: factor - 1 }, (_, i) => {
    const at = (i + 1) / factor;
    const window = new Float64Array(2 * REACH);
    const taps = new Float64Array(2 * REACH);
    for (let j = 0; j < 2 * REACH; j++) {
      const distance = j - REACH + 1 - at;
      window[j] = bessel0(KAISER_BETA * Math.sqrt(Math.max(0, 1 - (distance / REACH) ** 2)));
      taps[j] = (window[j] * Math.sin(Math.PI * distance)) / (Math.PI * distance);
    }
    const scale = 1 / bessel0(KAISER_BETA);
    for (let j = 0; j < 2 * REACH; j++) taps[j] *= scale;
    reproduceLines(taps, window, at);
    return { at, taps };
  });
}

/** Adds (α + β·distance)·window so that the taps sum to 1 and their first moment about `at` is 0. */
function reproduceLines(taps: Float64Array, window: Float64Array, at: number): void {
  let [w0, w1, w2, t0, t1] = [0, 0, 0, 0, 0];
  for (let j = 0; j < taps.length; j++) {
    const d = j - REACH + 1 - at;
    w0 += window[j];
    w1 += window[j] * d;
    w2 += window[j] * d * d;
    t0 += taps[j];
    t1 += taps[j] * d;
  }
  const determinant = w0 * w2 - w1 * w1;
  const alpha = ((1 - t0) * w2 + t1 * w1) / determinant;
  const beta = (-t1 * w0 - (1 - t0) * w1) / determinant;
  for (let j = 0; j < taps.length; j++) taps[j] += (alpha + beta * (j - REACH + 1 - at)) * window[j];
}

function bessel0(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > 1e-12 * sum; k++) sum += term *= (x / (2 * k)) ** 2;
  return sum;
}

/** Largest possible |interpolated value| when no sample exceeds 1. */
function gainBound(phases: Interpolator[]): number {
  return Math.max(1, ...phases.map((p) => p.taps.reduce((sum, t) => sum + Math.abs(t), 0)));
}

/** Largest possible distance from the straight line between two samples when no second difference exceeds 1. */
function bendBound(phases: Interpolator[]): number {
  return Math.max(
    0,
    ...phases.map(({ taps, at }) => {
      // What the taps do beyond the straight line has no mean and no slope, so it is a filter on the second
      // difference: summing it up twice gives that filter.
      let slope = 0;
      let value = 0;
      let total = 0;
      taps.forEach((tap, j) => {
        const line = j === REACH - 1 ? 1 - at : j === REACH ? at : 0;
        slope += tap - line;
        value += slope;
        total += Math.abs(value);
      });
      return total;
    }),
  );
}

/** Measures one channel. */
export class TruePeak {
  /** Largest absolute value so far, linear. */
  peak = 0;
  private readonly phases: Interpolator[];
  private readonly gain: number;
  private readonly bend: number;
  /** Holds one chunk of the past, then what has not been judged yet. */
  private filled = CHUNK;

  /**
   * @param prune false oversamples everything (for tests of the bounds)
   * @param chunks finds the levels that the bounds are made of
   */
  constructor(
    sampleRate: number,
    private readonly prune = true,
    private readonly chunks: ChunkScan = createChunkScan(BUFFER_CHUNKS),
  ) {
    this.phases = interpolators(oversampling(sampleRate));
    this.gain = gainBound(this.phases) * SLACK;
    this.bend = bendBound(this.phases) * SLACK;
  }

  push(samples: Float32Array): void {
    const buffer = this.chunks.samples;
    for (let from = 0; from < samples.length;) {
      const count = Math.min(samples.length - from, buffer.length - this.filled);
      buffer.set(samples.subarray(from, from + count), this.filled);
      this.filled += count;
      from += count;
      if (this.filled === buffer.length) this.judge();
    }
  }

  /** Call once after the last sample: the signal goes on as silence. */
  finish(): number {
    this.push(new Float32Array(2 * CHUNK));
    this.judge();
    return this.peak;
  }

  /** Judges all chunks that have a whole neighbour to each side, then moves the rest to the front. */
  private judge(): void {
    const { samples, tops, bends } = this.chunks;
    const count = Math.floor(this.filled / CHUNK);
    this.chunks.scan(count);
    const { prune, gain } = this;
    let { peak } = this;
    let here = tops[0];
    let after = tops[1];
    for (let chunk = 1; chunk < count - 1; chunk++) {
      const before = here;
      here = after;
      after = tops[chunk + 1];
      if (here > peak) this.peak = peak = here;
      let threshold = -1;
      if (prune) {
        if (before * gain <= peak && here * gain <= peak && after * gain <= peak) continue;
        const bend = Math.max(bends[chunk - 1], bends[chunk], bends[chunk + 1]);
        // Only a gap with a sample above this to one side can hold a new peak.
        threshold = (peak - this.bend * bend) / SLACK;
        if (Math.max(here, after) <= threshold) continue;
      }
      this.oversample(chunk * CHUNK, threshold);
      peak = this.peak;
    }
    const done = Math.max(0, count - 2) * CHUNK;
    samples.copyWithin(0, done, this.filled);
    this.filled -= done;
  }

  private oversample(start: number, threshold: number): void {
    const buffer = this.chunks.samples;
    for (let i = start, end = start + CHUNK; i < end; i++) {
      if (Math.abs(buffer[i]) > threshold || Math.abs(buffer[i + 1]) > threshold) this.interpolate(i);
    }
  }

  /** Values between sample `i` and the next. */
  private interpolate(i: number): void {
    const buffer = this.chunks.samples;
    const { phases } = this;
    for (let phase = 0; phase < phases.length; phase++) {
      const { taps } = phases[phase];
      let value = 0;
      for (let j = 0, k = i - REACH + 1; j < 2 * REACH; j++, k++) value += taps[j] * buffer[k];
      value = Math.abs(value);
      if (value > this.peak) this.peak = value;
    }
  }
}
