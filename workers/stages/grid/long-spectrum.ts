/**
 * The coherent spectrum of a whole onset curve. A tempo that holds for five minutes is a line 0.2 bpm wide,
 * and its harmonics pin it down still further.
 */
import FFT from 'fft.js';
import { release } from '../../release.ts';
import { parabolicPeak } from './statistics.ts';

/** Harmonics of the beat that are compared: beat, half, quarter (and the thirds between). */
const HARMONICS = [1, 2, 3, 4, 6, 8];
const HARMONIC_WEIGHTS = [1, 1, 0.5, 1, 0.4, 0.5];

/**
 * Of a curve longer than this, over an hour, pairs are averaged first (its highest harmonics of the quickest beats are
 * lost, which are the least of the comb), and it is not padded to twice its length: the transform would take as much
 * memory as all else.
 */
const MOST_FRAMES = 2 ** 19;

export class LongSpectrum {
  private readonly magnitude: Float32Array;
  private readonly perHz: number;
  private readonly seconds: number;

  constructor(curve: Float32Array, hop: number) {
    while (curve.length > MOST_FRAMES) {
      curve = halved(curve);
      hop *= 2;
    }
    let size = 2;
    while (size < curve.length || (size < 2 * curve.length && size < MOST_FRAMES)) size *= 2;
    const fft = new FFT(size);
    const input = new Float32Array(size);
    input.set(curve);
    const out = new Float64Array(2 * size);
    fft.realTransform(out, input);
    this.magnitude = new Float32Array(size / 2 + 1);
    for (let k = 0; k <= size / 2; k++) this.magnitude[k] = Math.sqrt(out[2 * k] ** 2 + out[2 * k + 1] ** 2);
    release(input);
    release(out);
    this.perHz = size * hop;
    this.seconds = curve.length * hop;
  }

  /** Magnitude at any frequency, between bins by a straight line. */
  at(hz: number): number {
    const x = hz * this.perHz;
    const i = Math.floor(x);
    if (i < 0 || i + 1 >= this.magnitude.length) return 0;
    return this.magnitude[i] + (x - i) * (this.magnitude[i + 1] - this.magnitude[i]);
  }

  /** Weighted sum of the magnitudes of the beat's harmonics. */
  comb(beatHz: number): number {
    let sum = 0;
    for (let h = 0; h < HARMONICS.length; h++) sum += HARMONIC_WEIGHTS[h] * this.at(HARMONICS[h] * beatHz);
    return sum;
  }

  /**
   * The beat frequency with the strongest comb within `spread` (a share) around `beatHz`.
   * @returns Hz, and the comb's value there
   */
  refine(beatHz: number, spread: number): { hz: number; score: number } {
    // The 8th harmonic's line is 1 / seconds wide: four steps across it.
    const step = 1 / (8 * 4 * this.seconds);
    const count = Math.max(1, Math.ceil((spread * beatHz) / step));
    let best = -Infinity;
    let at = 0;
    for (let i = -count; i <= count; i++) {
      const score = this.comb(beatHz + i * step);
      if (score > best) {
        best = score;
        at = i;
      }
    }
    const hz = beatHz + at * step;
    const peak = parabolicPeak(this.comb(hz - step), best, this.comb(hz + step));
    return { hz: hz + peak * step, score: best };
  }
}

function halved(curve: Float32Array): Float32Array {
  const out = new Float32Array(curve.length >> 1);
  for (let i = 0; i < out.length; i++) out[i] = (curve[2 * i] + curve[2 * i + 1]) / 2;
  return out;
}
