/** The stage that measures the levels of every layer at a fine hop and stacks them into a pyramid. */
import { LAYERS } from '../../shared/bands.ts';
import { type Pyramid, type PyramidLevel, REDUCTION, TARGET_HOP_SECONDS } from '../../shared/pyramid.ts';
import { FloatStore } from './float-store.ts';
import { createSplitMeter } from './meter-choice.ts';
import { METER_FRAMES, type Reading, type SplitMeter } from './split-meter.ts';
import type { Stage, StreamInfo } from './stage.ts';

/** The top level of the pyramid has at most this many columns. */
export const TOP_COLUMNS = 400;

export interface PyramidStage extends Stage<Pyramid> {
  /**
   * The levels so far, as a pyramid of one level with at most `columns` columns (at least 1).
   * Made anew on each call, so that it can be transferred.
   */
  snapshot(columns: number): Pyramid;
}

/** Samples per fine column at `sampleRate` Hz. */
export function fineHop(sampleRate: number): number {
  return Math.max(1, Math.round(sampleRate * TARGET_HOP_SECONDS));
}

/** @param meter only for tests: measures in place of the fastest meter */
export function createPyramidStage(info: StreamInfo, meter?: SplitMeter): PyramidStage {
  return new Columns(info, meter ?? createSplitMeter(info));
}

class Columns implements PyramidStage {
  readonly #info: StreamInfo;
  readonly #meter: SplitMeter;
  readonly #hop: number;
  readonly #peak = LAYERS.map(() => new FloatStore());
  readonly #rms = LAYERS.map(() => new FloatStore());
  readonly #reading: Reading = {
    peakPower: new Float64Array(LAYERS.length),
    energy: new Float64Array(LAYERS.length),
  };
  /** Frames in the column that is being filled. */
  #filled = 0;
  #frames = 0;

  constructor(info: StreamInfo, meter: SplitMeter) {
    this.#info = info;
    this.#meter = meter;
    this.#hop = fineHop(info.sampleRate);
  }

  push(block: readonly Float32Array[]): void {
    const length = block[0]?.length ?? 0;
    for (let from = 0; from < length; from += METER_FRAMES) {
      const to = Math.min(length, from + METER_FRAMES);
      this.#meter.load(block, from, to);
      for (let left = to - from; left > 0;) {
        const frames = Math.min(left, this.#hop - this.#filled);
        this.#meter.measure(frames);
        this.#filled += frames;
        left -= frames;
        if (this.#filled === this.#hop) this.#close();
      }
    }
    this.#frames += length;
  }

  snapshot(columns: number): Pyramid {
    const fine = this.#peak[0].length;
    let group = 1;
    while (Math.ceil(fine / group) > columns) group *= REDUCTION;
    const hop = this.#hop / this.#info.sampleRate;
    const level = joinColumns(hop, fine, this.#peak, this.#rms, group);
    return { duration: this.#frames / this.#info.sampleRate, levels: [level] };
  }

  finish(): Pyramid {
    if (this.#filled > 0) this.#close();
    const fine: PyramidLevel = {
      hop: this.#hop / this.#info.sampleRate,
      length: this.#peak[0].length,
      peak: this.#peak.map((store) => store.take()),
      rms: this.#rms.map((store) => store.take()),
    };
    return { duration: this.#frames / this.#info.sampleRate, levels: stackLevels(fine) };
  }

  #close(): void {
    this.#meter.collect(this.#reading);
    const { peakPower, energy } = this.#reading;
    const samples = this.#filled * this.#info.channels;
    for (let layer = 0; layer < LAYERS.length; layer++) {
      // The root of a square is exact in floats, so the full layer's peak is the sample itself.
      this.#peak[layer].push(Math.sqrt(peakPower[layer]));
      this.#rms[layer].push(Math.sqrt(energy[layer] / samples));
      peakPower[layer] = 0;
      energy[layer] = 0;
    }
    this.#filled = 0;
  }
}

/** All levels of a pyramid from its finest, each joining REDUCTION columns, until TOP_COLUMNS or fewer are left. */
export function stackLevels(fine: PyramidLevel): PyramidLevel[] {
  const levels = [fine];
  for (let level = fine; level.length > TOP_COLUMNS; levels.push(level)) {
    level = joinColumns(level.hop, level.length, level.peak.map(plain), level.rms.map(plain), REDUCTION);
  }
  return levels;
}

interface Numbers {
  at(index: number): number;
}

function plain(values: Float32Array): Numbers {
  return { at: (index) => values[index] };
}

/** Joins each `group` columns: the largest peak, the root of the mean power. The last group may be smaller. */
function joinColumns(
  hop: number,
  length: number,
  peaks: Numbers[],
  rms: Numbers[],
  group: number,
): PyramidLevel {
  const joined = Math.ceil(length / group);
  const level: PyramidLevel = {
    hop: hop * group,
    length: joined,
    peak: peaks.map(() => new Float32Array(joined)),
    rms: rms.map(() => new Float32Array(joined)),
  };
  for (let layer = 0; layer < peaks.length; layer++) {
    for (let column = 0; column < joined; column++) {
      const end = Math.min(length, (column + 1) * group);
      let top = 0;
      let power = 0;
      for (let i = column * group; i < end; i++) {
        const value = rms[layer].at(i);
        top = Math.max(top, peaks[layer].at(i));
        power += value * value;
      }
      level.peak[layer][column] = top;
      level.rms[layer][column] = Math.sqrt(power / (end - column * group));
    }
  }
  return level;
}
