/**
 * Folds any number of channels to one for finding notes.
 *
 * A plain sum would erase a track whose right channel is the inverted left one, so while the two sides oppose
 * each other the difference is taken instead.
 */
import type { Sink } from '../halver.ts';
import { MIX_FRAMES, createMonoMix } from '../mono-mix.ts';

/** Samples over which one decision on the sign holds; counted from the track's start, so blocks do not matter. */
const STRETCH = 8192;
/** Every how many samples the two sides are compared: a sample of them is enough for a sign. */
const COMPARE_EVERY = 16;
/** Correlation below which the sides oppose each other, and above which they no longer do. */
const OPPOSED = -0.6;
const AGREED = -0.2;
const SUM = [0.5, 0.5];
const DIFFERENCE = [0.5, -0.5];

export class Fold {
  private readonly mono = createMonoMix(SUM.length);
  /** Samples of the current stretch that have passed. */
  private passed = 0;
  private cross = 0;
  private power = 0;
  private weights = SUM;

  constructor(private readonly sink: Sink) {}

  push(block: readonly Float32Array[]): void {
    // Front left and front right; a mono track has only the one.
    const left = block[0];
    const right = block[1] ?? left;
    for (let from = 0; from < left.length;) {
      const to = Math.min(left.length, from + STRETCH - this.passed, from + MIX_FRAMES);
      this.compare(left, right, from, to);
      this.sink(this.mono.mix([left, right], this.weights, from, to));
      this.passed += to - from;
      if (this.passed === STRETCH) this.decide();
      from = to;
    }
  }

  private compare(left: Float32Array, right: Float32Array, from: number, to: number): void {
    let { cross, power } = this;
    const start = from + ((COMPARE_EVERY - (this.passed % COMPARE_EVERY)) % COMPARE_EVERY);
    for (let i = start; i < to; i += COMPARE_EVERY) {
      cross += left[i] * right[i];
      power += left[i] * left[i] + right[i] * right[i];
    }
    this.cross = cross;
    this.power = power;
  }

  /** What this stretch showed holds for the next one. */
  private decide(): void {
    const agreement = this.power > 0 ? (2 * this.cross) / this.power : 0;
    if (agreement < OPPOSED) this.weights = DIFFERENCE;
    else if (agreement > AGREED) this.weights = SUM;
    this.passed = this.cross = this.power = 0;
  }
}
