/** The first run over a track: everything that must be known before the first byte of its copy is written. */
import type { Partial } from '../../shared/analysis.ts';
import type { ByteSource } from '../decode/types.ts';
import { TruePeak } from '../stages/loudness/true-peak.ts';
import { openSamples } from './samples.ts';
import type { CopyDepth, CopyRate } from './types.ts';

/** Linear levels of one signal. */
export interface Levels {
  peak: number;
  truePeak: number;
}

export interface Measured {
  /** Of the original. */
  before: Levels;
  /** In the copy's rate, before any gain. */
  after: Levels;
  /** Frames in the copy's rate. */
  frames: number;
  /** Every sample is a whole step of the copy's depth at the rate that it has: nothing is lost without dither. */
  onSteps: boolean;
  partial: Partial | null;
}

class Meter {
  #peak = 0;
  readonly #meters: TruePeak[];

  constructor(rate: number, channels: number) {
    this.#meters = Array.from({ length: channels }, () => new TruePeak(rate));
  }

  push(block: readonly Float32Array[]): void {
    block.forEach((samples, c) => {
      let peak = this.#peak;
      for (let i = 0; i < samples.length; i++) {
        const level = Math.abs(samples[i]);
        if (level > peak) peak = level;
      }
      this.#peak = peak;
      this.#meters[c].push(samples);
    });
  }

  finish(): Levels {
    const peaks = this.#meters.map((meter) => meter.finish());
    return { peak: this.#peak, truePeak: Math.max(this.#peak, ...peaks) };
  }
}

function allOnSteps(block: readonly Float32Array[], depth: CopyDepth): boolean {
  const scale = 2 ** (depth - 1);
  for (const samples of block) {
    for (let i = 0; i < samples.length; i++) {
      const level = samples[i] * scale;
      if (level !== Math.trunc(level) || level >= scale || level < -scale) return false;
    }
  }
  return true;
}

export interface MeasureOptions {
  /** Hz, of the original. */
  sourceRate: number;
  rate: CopyRate;
  depth: CopyDepth;
  channels: number;
  signal?: AbortSignal;
  onProgress?: (share: number) => void;
}

export async function measure(source: ByteSource, options: MeasureOptions): Promise<Measured> {
  const { sourceRate, rate, depth, channels, signal, onProgress } = options;
  const same = sourceRate === rate;
  const before = new Meter(sourceRate, channels);
  const after = same ? before : new Meter(rate, channels);
  const onSource = (block: readonly Float32Array[]) => before.push(block);
  const { track, blocks } = await openSamples(source, { rate, channels, signal, onProgress, onSource });
  let frames = 0;
  let onSteps = same;
  for await (const block of blocks) {
    frames += block[0].length;
    if (!same) after.push(block);
    onSteps &&= allOnSteps(block, depth);
  }
  const levels = before.finish();
  return {
    before: levels,
    after: same ? levels : after.finish(),
    frames,
    onSteps,
    partial: track.partial,
  };
}
