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
    let size = 4;
    while (size < curve.length || (size < 2 * curve.length && size < MOST_FRAMES)) size *= 2;
    this.magnitude = magnitudes(curve, size);
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

/**
 * Magnitudes of the discrete Fourier transform of a curve padded with zeros to `size` (a power of two from 4 on):
 * bins 0 to size / 2. Even and odd values go as real and imaginary parts through a transform of half the size, whose
 * result is taken apart again (H. V. Sorensen et al., "Real-valued fast Fourier transform algorithms", IEEE Trans.
 * ASSP 35(6), 1987): a long curve then takes half of the memory.
 */
export function magnitudes(curve: Float32Array, size: number): Float32Array {
  const half = size / 2;
  const pairs = new Float32Array(size);
  pairs.set(curve);
  const z = new Float64Array(size);
  new FFT(half).transform(z, pairs);
  release(pairs);
  const out = new Float32Array(half + 1);
  for (let k = 0; k <= half; k++) {
    const a = 2 * (k % half);
    const b = 2 * ((half - k) % half);
    // What the even and the odd values give, and the turn that stands for lying one value later.
    const evenRe = (z[a] + z[b]) / 2;
    const evenIm = (z[a + 1] - z[b + 1]) / 2;
    const oddRe = (z[a + 1] + z[b + 1]) / 2;
    const oddIm = (z[b] - z[a]) / 2;
    const angle = (-2 * Math.PI * k) / size;
    const cos = Math.cos(angle);
    const sin = Math.sin(angle);
    const re = evenRe + cos * oddRe - sin * oddIm;
    const im = evenIm + cos * oddIm + sin * oddRe;
    out[k] = Math.sqrt(re * re + im * im);
  }
  release(z);
  return out;
}

function halved(curve: Float32Array): Float32Array {
  const out = new Float32Array(curve.length >> 1);
  for (let i = 0; i < out.length; i++) out[i] = (curve[2 * i] + curve[2 * i + 1]) / 2;
  return out;
}
