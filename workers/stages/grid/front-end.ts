/**
 * The streaming half of the grid: samples to band energies. The wide bands are differences of the full-rate
 * signal (no delay), the low ones are filtered at about 5.5 kHz; nothing here costs more than a few
 * operations per sample, because the whole grid has to cost less than a quarter of decoding.
 */
import { MIX_FRAMES, createMonoMix } from '../mono-mix.ts';
import type { StreamInfo } from '../stage.ts';
import { AIR_SUM, CHUNK_NUMBERS, ChunkSums, PRESENCE_SUM, RISING_SUM, TOTAL_SUM } from './chunk-sums.ts';
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
  private readonly mono;
  private readonly weights: number[];
  private readonly chunks: ChunkSums;
  private readonly takeChunks = (sums: Float32Array, count: number) => this.measure(sums, count);
  private readonly low = new Float64Array(LOW_BLOCK);
  private lowCount = 0;
  private samples = 0;
  // State of the pre-averaging.
  private preSum = 0;
  private prePhase = 0;
  /** Rising half of the triangle over the last chunk. */
  private rising = 0;
  private presence = 0;
  private air = 0;
  /** Chunks in the frame that is being filled. */
  private inFrame = 0;

  constructor(private readonly info: StreamInfo) {
    this.preFactor = Math.max(1, Math.ceil(info.sampleRate / HIGHEST_WORKING_HZ));
    this.workingRate = info.sampleRate / this.preFactor;
    this.decimation = Math.max(1, Math.round(this.workingRate / LOW_RATE_HZ));
    const lowRate = this.workingRate / this.decimation;
    this.frameLow = Math.max(1, Math.round(lowRate * FRAME_SECONDS));
    this.mono = createMonoMix(info.channels);
    this.weights = Array.from({ length: info.channels }, (_, c) => (c === 0 ? 1 : SECOND_CHANNEL));
    this.chunks = new ChunkSums(this.decimation);
    this.harmony = new HarmonyBuilder(lowRate);
    this.lowBands = new LowBands(lowRate, this.frameLow, this.bands.slice(0, 3));
  }

  push(block: readonly Float32Array[]): void {
    const length = block[0]?.length ?? 0;
    this.samples += length;
    for (let from = 0; from < length; from += MIX_FRAMES) {
      const mono = this.mono.mix(block, this.weights, from, Math.min(length, from + MIX_FRAMES));
      this.chunks.push(this.preFactor === 1 ? mono : this.average(mono), this.takeChunks);
    }
  }

  finish(): GridFeatures {
    this.filterLow(this.lowCount);
    this.lowCount = 0;
    const frames = Math.min(...this.bands.map((band) => band.length));
    return {
      hop: (this.frameLow * this.decimation) / this.workingRate,
      frames,
      duration: this.samples / this.info.sampleRate,
      energy: this.bands.map((band) => band.take(frames)),
      harmony: this.harmony.finish(),
    };
  }

  /** Takes the sums of the next `count` chunks: each is one sample of the low branch. */
  private measure(sums: Float32Array, count: number): void {
    const { low, decimation, frameLow } = this;
    const frameLength = frameLow * decimation;
    const step = 1 / decimation;
    let { rising, presence, air, inFrame, lowCount } = this;
    const end = count * CHUNK_NUMBERS;
    for (let at = 0; at < end;) {
      // Up to the end of the frame, of the low block or of the sums, whichever comes first.
      const run = Math.min(frameLow - inFrame, low.length - lowCount, (end - at) / CHUNK_NUMBERS);
      for (const stop = at + run * CHUNK_NUMBERS; at < stop; at += CHUNK_NUMBERS) {
        presence += sums[at + PRESENCE_SUM];
        air += sums[at + AIR_SUM];
        // A triangle over two chunks: it rises over the last one and falls over this one.
        const risen = sums[at + RISING_SUM];
        low[lowCount++] = (rising + sums[at + TOTAL_SUM] - risen) * step;
        rising = risen;
      }
      inFrame += run;
      if (inFrame === frameLow) {
        this.bands[3].push(presence / frameLength);
        this.bands[4].push(air / frameLength);
        presence = 0;
        air = 0;
        inFrame = 0;
      }
      if (lowCount === low.length) {
        this.filterLow(lowCount);
        lowCount = 0;
      }
    }
    this.lowCount = lowCount;
    this.rising = rising;
    this.presence = presence;
    this.air = air;
    this.inFrame = inFrame;
  }

  /** Averages samples in place down to the working rate. */
  private average(mono: Float32Array): Float32Array {
    const { preFactor } = this;
    let out = 0;
    let { preSum, prePhase } = this;
    for (let i = 0; i < mono.length; i++) {
      preSum += mono[i];
      if (++prePhase === preFactor) {
        mono[out++] = preSum / preFactor;
        preSum = 0;
        prePhase = 0;
      }
    }
    this.preSum = preSum;
    this.prePhase = prePhase;
    return mono.subarray(0, out);
  }

  private filterLow(count: number): void {
    this.harmony.push(this.low, count);
    this.lowBands.push(this.low, count);
  }
}
