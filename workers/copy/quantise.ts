/**
 * Samples to integers with TPDF dither: two uniform random numbers of one step each, so that mean and power of the
 * error do not depend on the signal. S. Lipshitz, R. Wannamaker and J. Vanderkooy, "Quantization and dither: a
 * theoretical survey", J. Audio Eng. Soc. 40 (1992).
 */
import { Random } from './random.ts';
import type { CopyContainer, CopyDepth } from './types.ts';

const RANDOM_STEP = 2 ** -32;

export interface QuantiseOptions {
  depth: CopyDepth;
  /** WAV counts from the low byte, AIFF from the high one. */
  container: CopyContainer;
  /** linear */
  gain: number;
  dither: boolean;
  seed: number;
}

/** Turns blocks into interleaved sample bytes. */
export class Quantiser {
  /** Samples that were cut off at full scale so far. */
  clipped = 0;
  readonly #options: QuantiseOptions;
  readonly #random: Random;

  constructor(options: QuantiseOptions) {
    this.#options = options;
    this.#random = new Random(options.seed);
  }

  push(block: readonly Float32Array[]): Uint8Array<ArrayBuffer> {
    const { depth, container, gain, dither } = this.#options;
    const random = this.#random;
    const channels = block.length;
    const frames = block[0].length;
    const width = depth / 8;
    const bytes = new Uint8Array(frames * channels * width);
    const top = 2 ** (depth - 1) - 1;
    const bottom = -(2 ** (depth - 1));
    const scale = -bottom * gain;
    const little = container === 'wav';
    // Places of the bytes of a sample, high to low.
    const high = little ? width - 1 : 0;
    const step = little ? -1 : 1;
    let p = 0;
    for (let i = 0; i < frames; i++) {
      for (let c = 0; c < channels; c++, p += width) {
        let value = block[c][i] * scale;
        if (dither) value += (random.bits() - random.bits()) * RANDOM_STEP;
        let level = Math.round(value);
        if (level > top || level < bottom) {
          this.clipped++;
          level = level > top ? top : bottom;
        }
        if (width === 2) {
          bytes[p + high] = level >> 8;
          bytes[p + high + step] = level;
        } else {
          bytes[p + high] = level >> 16;
          bytes[p + high + step] = level >> 8;
          bytes[p + high + 2 * step] = level;
        }
      }
    }
    return bytes;
  }
}
