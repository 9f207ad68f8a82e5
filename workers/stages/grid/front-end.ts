/**
 * The streaming half of the grid: samples to band energies. The wide bands are differences of the full-rate
 * signal (no delay), the low ones are filtered at about 5.5 kHz; nothing here costs more than a few
 * operations per sample, because the whole grid has to cost less than a quarter of decoding.
 */
import type { StreamInfo } from '../stage.ts';
import { GRID_BANDS, type GridFeatures } from './features.ts';
import { Growable } from './growable.ts';
import { HarmonyBuilder } from './harmony.ts';
import { LowBands } from './low-bands.ts';

/** Rates above this are first averaged down. */
const HIGHEST_WORKING_HZ = 64000;
/** Rate that the low branch aims at. */
const LOW_RATE_HZ = 5600;
/** Frame length that the features aim at, s. */
const FRAME_SECONDS = 0.0029;
/**
 * Share of the second channel in the mono mix. Not 1, so that a file whose channels are inverted does not
 * vanish.
 */
const SECOND_CHANNEL = 0.7;

/** Samples that are mixed and measured at a time: few enough to stay in the first cache. */
const MIX_BLOCK = 1024;
/** Low-rate samples that are filtered at a time. */
const LOW_BLOCK = 2048;

export class FrontEnd {
  private readonly preFactor: number;
  private readonly decimation: number;
  private readonly frameLow: number;
  private readonly workingRate: number;
  private readonly bands = GRID_BANDS.map(() => new Growable());
  private readonly harmony: HarmonyBuilder;
  private readonly lowBands: LowBands;
  private readonly mono = new Float64Array(MIX_BLOCK);
  private readonly low = new Float64Array(LOW_BLOCK);
  private lowCount = 0;
  private samples = 0;
  // State of the pre-averaging.
  private preSum = 0;
  private prePhase = 0;
  // State of the differences and of the triangular decimation.
  private last = 0;
  private lastDifference = 0;
  private phase = 0;
  private rising = 0;
  private falling = 0;
  private presence = 0;
  private air = 0;
  private inFrame = 0;

  constructor(private readonly info: StreamInfo) {
    this.preFactor = Math.max(1, Math.ceil(info.sampleRate / HIGHEST_WORKING_HZ));
    this.workingRate = info.sampleRate / this.preFactor;
    this.decimation = Math.max(1, Math.round(this.workingRate / LOW_RATE_HZ));
    const lowRate = this.workingRate / this.decimation;
    this.frameLow = Math.max(1, Math.round(lowRate * FRAME_SECONDS));
    this.harmony = new HarmonyBuilder(lowRate);
    this.lowBands = new LowBands(lowRate, this.frameLow, this.bands.slice(0, 3));
  }

  push(block: readonly Float32Array[]): void {
    const length = block[0]?.length ?? 0;
    this.samples += length;
    for (let from = 0; from < length; from += MIX_BLOCK) {
      this.measure(this.mix(block, from, Math.min(length, from + MIX_BLOCK)));
    }
  }

  finish(): GridFeatures {
    this.filterLow();
    const frames = Math.min(...this.bands.map((band) => band.length));
    return {
      hop: (this.frameLow * this.decimation) / this.workingRate,
      frames,
      duration: this.samples / this.info.sampleRate,
      energy: this.bands.map((band) => band.view().subarray(0, frames)),
      harmony: this.harmony.finish(),
    };
  }

  /** Measures the first `count` samples of `mono`. */
  private measure(count: number): void {
    const { mono, decimation, low, frameLow } = this;
    const frameLength = frameLow * decimation;
    const step = 1 / decimation;
    let { last, lastDifference, phase, rising, falling, presence, air, inFrame } = this;
    let i = 0;
    while (i < count) {
      const end = Math.min(count, i + decimation - phase);
      let weight = (phase + 0.5) * step;
      phase += end - i;
      inFrame += end - i;
      for (; i < end; i++) {
        const x = mono[i];
        const difference = x - last;
        const bend = difference - lastDifference;
        last = x;
        lastDifference = difference;
        presence += difference * difference;
        air += bend * bend;
        rising += x * weight;
        falling += x - x * weight;
        weight += step;
      }
      if (phase < decimation) break;
      phase = 0;
      low[this.lowCount++] = falling * step;
      falling = rising;
      rising = 0;
      // `falling` held the last chunk's rising half plus this chunk's falling half.
      if (inFrame === frameLength) {
        this.bands[3].push(presence / frameLength);
        this.bands[4].push(air / frameLength);
        presence = 0;
        air = 0;
        inFrame = 0;
      }
      if (this.lowCount === LOW_BLOCK) this.filterLow();
    }
    this.last = last;
    this.lastDifference = lastDifference;
    this.phase = phase;
    this.rising = rising;
    this.falling = falling;
    this.presence = presence;
    this.air = air;
    this.inFrame = inFrame;
  }

  /** Mixes samples [from, to) of the block to `mono` at the working rate; returns their number. */
  private mix(block: readonly Float32Array[], from: number, to: number): number {
    const { mono, preFactor } = this;
    const length = to - from;
    const [a, b] = block;
    if (block.length === 1) for (let i = 0; i < length; i++) mono[i] = a[from + i];
    else for (let i = 0; i < length; i++) mono[i] = a[from + i] + SECOND_CHANNEL * b[from + i];
    for (let channel = 2; channel < block.length; channel++) {
      const c = block[channel];
      for (let i = 0; i < length; i++) mono[i] += SECOND_CHANNEL * c[from + i];
    }
    if (preFactor === 1) return length;
    let out = 0;
    let { preSum, prePhase } = this;
    for (let i = 0; i < length; i++) {
      preSum += mono[i];
      if (++prePhase === preFactor) {
        mono[out++] = preSum / preFactor;
        preSum = 0;
        prePhase = 0;
      }
    }
    this.preSum = preSum;
    this.prePhase = prePhase;
    return out;
  }

  private filterLow(): void {
    const { low, lowCount } = this;
    this.lowCount = 0;
    this.harmony.push(low, lowCount);
    this.lowBands.push(low, lowCount);
  }
}
