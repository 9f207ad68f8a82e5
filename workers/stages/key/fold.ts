/**
 * Folds any number of channels to one for finding notes, and where the rate is high lowers it by four in the
 * same loop, since this is the one loop that sees every sample.
 *
 * A plain sum would erase a track whose right channel is the inverted left one, so while the two sides oppose
 * each other the difference is taken instead.
 */

import type { Sink } from '../halver.ts';

/** Samples over which one decision on the sign holds; counted from the track's start, so blocks do not matter. */
const STRETCH = 8192;
/** Every how many samples the two sides are compared: a sample of them is enough for a sign. */
const COMPARE_EVERY = 16;
/** Correlation below which the sides oppose each other, and above which they no longer do. */
const OPPOSED = -0.6;
const AGREED = -0.2;
/** Scale of the filter 1 3 5 7 7 5 3 1. */
const MEANS_SCALE = 1 / 32;

export class Fold {
  private readonly output = new Float32Array(STRETCH);
  /** Samples of the current stretch that have passed. */
  private passed = 0;
  private cross = 0;
  private power = 0;
  private sign = 1;
  /** What the last four samples leave for the next output. */
  private left4 = 0;
  /** A group of four that the end of a block has cut, both sides. */
  private readonly group = [new Float32Array(4), new Float32Array(4)];
  private grouped = 0;

  /**
   * @param factor 1, or 4: running means of four, four and two in a row, with double zeros at every multiple
   *   of the output rate
   */
  constructor(
    private readonly factor: 1 | 4,
    private readonly sink: Sink,
  ) {}

  push(block: readonly Float32Array[]): void {
    // Front left and front right; a mono track has only the one.
    const left = block[0];
    const right = block[1] ?? left;
    for (let from = 0; from < left.length;) {
      let to = Math.min(left.length, from + STRETCH - this.passed);
      if (this.factor === 4 && (this.grouped || to - from < 4)) to = this.fillGroup(left, right, from, to);
      else {
        if (this.factor === 4) to -= (to - from) % 4;
        this.run(left, right, from, to);
      }
      from = to;
    }
  }

  finish(): void {
    if (this.grouped) this.push([new Float32Array(4 - this.grouped)]);
  }

  /** Adds samples to the cut group until it is whole. @returns where it has got to */
  private fillGroup(left: Float32Array, right: Float32Array, from: number, to: number): number {
    const end = Math.min(to, from + 4 - this.grouped);
    this.group[0].set(left.subarray(from, end), this.grouped);
    this.group[1].set(right.subarray(from, end), this.grouped);
    this.grouped += end - from;
    if (this.grouped === 4) {
      this.grouped = 0;
      this.run(this.group[0], this.group[1], 0, 4);
    }
    return end;
  }

  private run(left: Float32Array, right: Float32Array, from: number, to: number): void {
    this.compare(left, right, from, to);
    const made = this.factor === 4 ? this.mixByFour(left, right, from, to) : this.mix(left, right, from, to);
    this.sink(this.output.subarray(0, made));
    this.passed += to - from;
    if (this.passed === STRETCH) this.decide();
  }

  private mix(left: Float32Array, right: Float32Array, from: number, to: number): number {
    const { output } = this;
    const other = 0.5 * this.sign;
    for (let i = from, o = 0; i < to; i++, o++) output[o] = 0.5 * left[i] + other * right[i];
    return to - from;
  }

  private mixByFour(left: Float32Array, right: Float32Array, from: number, to: number): number {
    const { output, sign } = this;
    const scale = MEANS_SCALE / 2;
    let before = this.left4;
    let o = 0;
    for (let i = from; i < to; i += 4) {
      const a = left[i] + sign * right[i];
      const b = left[i + 1] + sign * right[i + 1];
      const c = left[i + 2] + sign * right[i + 2];
      const d = left[i + 3] + sign * right[i + 3];
      // A group counts 1 3 5 7 in the output that it ends and 7 5 3 1 in the one that it begins.
      const rising = a + 3 * b + 5 * c + 7 * d;
      output[o++] = scale * (before + 8 * (a + b + c + d) - rising);
      before = rising;
    }
    this.left4 = before;
    return o;
  }

  private compare(left: Float32Array, right: Float32Array, from: number, to: number): void {
    const start = from + ((COMPARE_EVERY - (this.passed % COMPARE_EVERY)) % COMPARE_EVERY);
    for (let i = start; i < to; i += COMPARE_EVERY) {
      this.cross += left[i] * right[i];
      this.power += left[i] * left[i] + right[i] * right[i];
    }
  }

  /** What this stretch showed holds for the next one. */
  private decide(): void {
    const agreement = this.power > 0 ? (2 * this.cross) / this.power : 0;
    if (agreement < OPPOSED) this.sign = -1;
    else if (agreement > AGREED) this.sign = 1;
    this.passed = this.cross = this.power = 0;
  }
}
