/**
 * Peak and power of every layer over stretches of samples: the band split and the metering in one object.
 *
 * Channels: a layer's peak is the largest of any channel, its power the mean over the channels. Nothing is
 * ever summed across channels, so that inverted channels do not cancel, and a sound in one channel of two
 * reads 3 dB below the same sound in both.
 */
import { LAYERS } from '../../shared/bands.ts';
import { BandSplit } from './band-split.ts';
import type { StreamInfo } from './stage.ts';

/** Most frames that one `load` takes. */
export const METER_FRAMES = 4096;

/** What has been measured, one number per layer (see LAYERS). */
export interface Reading {
  /** Largest squared sample of any channel. */
  peakPower: Float64Array;
  /** Sum over frames and channels of squared samples. */
  energy: Float64Array;
}

export interface SplitMeter {
  /** Makes frames [from, to) of `block` (at most METER_FRAMES) ready to be measured. */
  load(block: readonly Float32Array[], from: number, to: number): void;
  /** Measures the next `frames` of what was loaded, on top of the present reading. */
  measure(frames: number): void;
  /** Adds what was measured since the last call to `reading` (to be called at every fine column). */
  collect(reading: Reading): void;
}

/** The meter in plain JavaScript; also the reference for the faster one. */
export class PlainSplitMeter implements SplitMeter {
  readonly #splits: BandSplit[];
  readonly #bands = [0, 1, 2].map(() => new Float64Array(METER_FRAMES));
  /** Per channel one number per layer. */
  readonly #peakPower: Float64Array[];
  readonly #energy: Float64Array[];
  #block: readonly Float32Array[] = [];
  #at = 0;

  constructor(info: StreamInfo) {
    const perChannel = <T>(make: () => T) => Array.from({ length: info.channels }, make);
    this.#splits = perChannel(() => new BandSplit(info.sampleRate));
    this.#peakPower = perChannel(() => new Float64Array(LAYERS.length));
    this.#energy = perChannel(() => new Float64Array(LAYERS.length));
  }

  load(block: readonly Float32Array[], from: number): void {
    this.#block = block;
    this.#at = from;
  }

  measure(frames: number): void {
    const [bass, middle, treble] = this.#bands;
    const from = this.#at;
    const to = (this.#at += frames);
    this.#splits.forEach((split, c) => {
      split.split(this.#block[c], from, to, bass, middle, treble);
      this.#bands.forEach((band, layer) => this.#meter(c, layer, band, 0, frames));
      this.#meter(c, LAYERS.length - 1, this.#block[c], from, to);
    });
  }

  collect(reading: Reading): void {
    this.#splits.forEach((split, c) => {
      for (let i = 0; i < LAYERS.length; i++) {
        reading.peakPower[i] = Math.max(reading.peakPower[i], this.#peakPower[c][i]);
        reading.energy[i] += this.#energy[c][i];
      }
      this.#peakPower[c].fill(0);
      this.#energy[c].fill(0);
      split.settle();
    });
  }

  /** Sums go on from the reading so far, so that they do not depend on how the stretch was cut up. */
  #meter(c: number, layer: number, samples: Float32Array | Float64Array, from: number, to: number): void {
    let top = this.#peakPower[c][layer];
    let sum = this.#energy[c][layer];
    for (let i = from; i < to; i++) {
      const power = samples[i] * samples[i];
      sum += power;
      if (power > top) top = power;
    }
    this.#peakPower[c][layer] = top;
    this.#energy[c][layer] = sum;
  }
}
