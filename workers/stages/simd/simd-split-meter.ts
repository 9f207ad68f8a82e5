/** The split meter on vector instructions, two channels at a time. */
import { LAYERS } from '../../../shared/bands.ts';
import { FLOAT_BYTES, type Vectors, pagesFor, vectorsOf } from '../../../shared/simd/vectors.ts';
import { STATE_FLOOR, crossovers } from '../band-split.ts';
import { METER_FRAMES, type Reading, type SplitMeter } from '../split-meter.ts';
import type { StreamInfo } from '../stage.ts';
import {
  ENERGY_OFFSET,
  PEAK_OFFSET,
  SLOT_BYTES,
  STATES,
  betweenBytes,
  splitProgram,
} from './split-program.ts';

/** Channels in a vector of doubles. */
const LANES = 2;
const CHANNEL_BYTES = METER_FRAMES * FLOAT_BYTES;
const DOUBLE_BYTES = Float64Array.BYTES_PER_ELEMENT;

export class SimdSplitMeter implements SplitMeter {
  readonly #channels: number;
  /** Channels in pairs; the last channel of an odd number is its own partner, and counts once. */
  readonly #pairs: number;
  readonly #run: Vectors['run'];
  readonly #slots: Float64Array;
  readonly #samples: Float32Array;
  readonly #samplesAt: number;
  /** Where the loops of the program leave their signals for each other. */
  readonly #betweenAt: number;
  #at = 0;

  /** @throws NoVectors where vector programs do not run */
  constructor(info: StreamInfo) {
    this.#channels = info.channels;
    this.#pairs = Math.ceil(info.channels / LANES);
    this.#betweenAt = this.#pairs * SLOT_BYTES;
    this.#samplesAt = this.#betweenAt + betweenBytes(METER_FRAMES);
    const pages = pagesFor(this.#samplesAt + info.channels * CHANNEL_BYTES);
    const { lower, upper } = crossovers(info.sampleRate);
    const { run, buffer } = vectorsOf(splitProgram(lower, upper, pages));
    this.#run = run;
    this.#slots = new Float64Array(buffer, 0, this.#betweenAt / DOUBLE_BYTES);
    this.#samples = new Float32Array(buffer, this.#samplesAt, info.channels * METER_FRAMES);
  }

  load(block: readonly Float32Array[], from: number, to: number): void {
    for (let c = 0; c < this.#channels; c++) this.#samples.set(block[c].subarray(from, to), c * METER_FRAMES);
    this.#at = 0;
  }

  measure(frames: number): void {
    const last = this.#channels - 1;
    const at = this.#samplesAt + this.#at * Float32Array.BYTES_PER_ELEMENT;
    for (let pair = 0; pair < this.#pairs; pair++) {
      const first = pair * LANES;
      const second = Math.min(first + 1, last);
      const [left, right] = [at + first * CHANNEL_BYTES, at + second * CHANNEL_BYTES];
      this.#run(left, right, frames, pair * SLOT_BYTES, this.#betweenAt);
    }
    this.#at += frames;
  }

  collect(reading: Reading): void {
    const slots = this.#slots;
    for (let c = 0; c < this.#channels; c++) {
      const slot = (Math.floor(c / LANES) * SLOT_BYTES) / DOUBLE_BYTES + (c % LANES);
      for (let layer = 0; layer < LAYERS.length; layer++) {
        const peak = slot + PEAK_OFFSET / DOUBLE_BYTES + layer * LANES;
        const energy = slot + ENERGY_OFFSET / DOUBLE_BYTES + layer * LANES;
        if (slots[peak] > reading.peakPower[layer]) reading.peakPower[layer] = slots[peak];
        reading.energy[layer] += slots[energy];
      }
    }
    for (let pair = 0; pair < this.#pairs; pair++) {
      const slot = (pair * SLOT_BYTES) / DOUBLE_BYTES;
      for (let i = slot; i < slot + STATES * LANES; i++) if (Math.abs(slots[i]) < STATE_FLOOR) slots[i] = 0;
      slots.fill(0, slot + PEAK_OFFSET / DOUBLE_BYTES, slot + SLOT_BYTES / DOUBLE_BYTES);
    }
  }
}
