import FFT from 'fft.js';
import { Growable } from './growable.ts';
import { HARMONY_BINS, HARMONY_LOWEST_HZ, type Harmony } from './features.ts';

/** Spectrum length in low-rate samples: about 190 ms, 5 Hz per bin. */
const SIZE = 1024;
const HOP = 768;
/** Magnitudes are compressed as log(1 + GAIN × magnitude): loud enough to matter is loud enough. */
const GAIN = 100;

/** Collects semitone magnitudes of the low-rate signal. */
export class HarmonyBuilder {
  private readonly fft = new FFT(SIZE);
  private readonly window = Float64Array.from(
    { length: SIZE },
    (_, i) => ((0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / SIZE)) * 4) / SIZE,
  );
  private readonly ring = new Float64Array(SIZE);
  private readonly frame = new Float64Array(SIZE);
  private readonly spectrum = new Float64Array(2 * SIZE);
  private readonly power = new Float64Array(SIZE / 2);
  private readonly row = new Float32Array(HARMONY_BINS);
  private readonly rows = new Growable();
  /** First and last-plus-one FFT bin of each semitone. */
  private readonly edges: [number, number][];
  /** The FFT bins that any semitone looks at. */
  private readonly firstBin: number;
  private readonly endBin: number;
  private filled = 0;

  constructor(private readonly sampleRate: number) {
    const perBin = sampleRate / SIZE;
    this.edges = Array.from({ length: HARMONY_BINS }, (_, k) => {
      const hz = HARMONY_LOWEST_HZ * 2 ** (k / 12);
      const low = Math.round((hz * 2 ** (-1 / 24)) / perBin);
      return [low, Math.max(low + 1, Math.round((hz * 2 ** (1 / 24)) / perBin))];
    });
    this.firstBin = Math.min(SIZE / 2, this.edges[0][0]);
    this.endBin = Math.min(SIZE / 2, this.edges[HARMONY_BINS - 1][1]);
  }

  push(samples: Float64Array, count: number): void {
    let read = 0;
    while (read < count) {
      const take = Math.min(count - read, SIZE - this.filled);
      this.ring.set(samples.subarray(read, read + take), this.filled);
      this.filled += take;
      read += take;
      if (this.filled === SIZE) {
        this.analyse();
        this.ring.copyWithin(0, HOP);
        this.filled = SIZE - HOP;
      }
    }
  }

  finish(): Harmony {
    const frames = this.rows.length / HARMONY_BINS;
    return {
      hop: HOP / this.sampleRate,
      offset: SIZE / 2 / this.sampleRate,
      frames,
      bins: HARMONY_BINS,
      data: this.rows.take(),
    };
  }

  private analyse(): void {
    const { frame, ring, window, power, spectrum, row } = this;
    for (let i = 0; i < SIZE; i++) frame[i] = ring[i] * window[i];
    this.fft.realTransform(spectrum, frame);
    for (let k = this.firstBin; k < this.endBin; k++) {
      const re = spectrum[2 * k];
      const im = spectrum[2 * k + 1];
      power[k] = re * re + im * im;
    }
    for (let k = 0; k < HARMONY_BINS; k++) {
      const [low, high] = this.edges[k];
      let top = 0;
      for (let i = low; i < high && i < SIZE / 2; i++) if (power[i] > top) top = power[i];
      row[k] = Math.log1p(GAIN * Math.sqrt(top));
    }
    this.rows.append(row);
  }
}
