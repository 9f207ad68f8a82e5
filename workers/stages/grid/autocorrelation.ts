/** How strongly an onset curve repeats after each lag, over windows of about nine seconds. */
import FFT from 'fft.js';

/** Frames of one window (8.9 s at 8.7 ms). */
export const WINDOW_FRAMES = 1024;
/** Frames between windows when the whole track is averaged. */
const WINDOW_HOP = 512;

/** Autocorrelation of one window, normalised for the falling overlap; reused between calls. */
export class WindowCorrelator {
  private readonly size = 2 * WINDOW_FRAMES;
  private readonly fft = new FFT(this.size);
  private readonly input = new Float64Array(this.size);
  private readonly spectrum = new Float64Array(2 * this.size);
  private readonly back = new Float64Array(2 * this.size);

  /** Adds the autocorrelation (lags 0..WINDOW_FRAMES-1) of the window that starts at `from` to `sum`. */
  addTo(sum: Float64Array, curve: Float32Array, from: number): void {
    const { input, size, spectrum, back } = this;
    input.fill(0);
    for (let i = 0; i < WINDOW_FRAMES; i++) {
      const j = from + i;
      input[i] = j >= 0 && j < curve.length ? curve[j] : 0;
    }
    this.fft.realTransform(spectrum, input);
    for (let k = 0; k <= size / 2; k++) {
      const power = spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2;
      spectrum[2 * k] = power;
      spectrum[2 * k + 1] = 0;
      if (k > 0 && k < size / 2) {
        spectrum[2 * (size - k)] = power;
        spectrum[2 * (size - k) + 1] = 0;
      }
    }
    this.fft.inverseTransform(back, spectrum);
    for (let lag = 0; lag < WINDOW_FRAMES; lag++) sum[lag] += back[2 * lag] / (WINDOW_FRAMES - lag);
  }
}

/** Mean autocorrelation of the whole curve, 1 at lag 0 (all 0 for a silent curve). */
export function meanAutocorrelation(curve: Float32Array): Float64Array {
  const sum = new Float64Array(WINDOW_FRAMES);
  const correlator = new WindowCorrelator();
  let from = 0;
  do {
    correlator.addTo(sum, curve, from);
    from += WINDOW_HOP;
  } while (from + WINDOW_FRAMES <= curve.length);
  const top = sum[0];
  if (top > 0) for (let lag = 0; lag < sum.length; lag++) sum[lag] /= top;
  return sum;
}

/** Multiples of the beat at which a beat period must repeat. */
const MULTIPLES = [1, 2, 3, 4, 6, 8];
const WEIGHTS = [1, 1, 0.6, 1.2, 0.5, 0.8];

/** How well a beat of `lag` frames (a real number) explains an autocorrelation: −1..1. */
export function combScore(correlation: Float64Array, lag: number): number {
  let sum = 0;
  let weight = 0;
  for (let m = 0; m < MULTIPLES.length; m++) {
    const at = MULTIPLES[m] * lag;
    const i = Math.floor(at);
    // Short overlaps are mostly noise.
    if (i > 0.8 * correlation.length) break;
    sum += WEIGHTS[m] * (correlation[i] + (at - i) * (correlation[i + 1] - correlation[i]));
    weight += WEIGHTS[m];
  }
  return weight > 0 ? sum / weight : 0;
}
