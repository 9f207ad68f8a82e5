/** The stage that measures the levels of every layer at a fine hop and stacks them into a pyramid. */
import { LAYERS } from '../../shared/bands.ts';
import { type Pyramid, type PyramidLevel, REDUCTION, TARGET_HOP_SECONDS } from '../../shared/pyramid.ts';
import { ColumnStore, PIECE_COLUMNS } from './column-store.ts';
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
  /** Rows: the peak of each layer, then the RMS of each. */
  readonly #store = new ColumnStore(2 * LAYERS.length);
  readonly #column = new Float64Array(2 * LAYERS.length);
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
    const fine = this.#store.length;
    // A group lies in one piece of the store; what needs larger ones joins the joined.
    let group = 1;
    while (Math.ceil(fine / group) > columns && group * REDUCTION <= PIECE_COLUMNS) group *= REDUCTION;
    const pieces = Array.from(this.#store.pieces(), (rows) => {
      const { peak, rms } = byMeasure(rows);
      return joinColumns(this.#hop / this.#info.sampleRate, rows[0].length, peak, rms, group);
    });
    let level = inARow(pieces, (this.#hop * group) / this.#info.sampleRate);
    while (level.length > columns) level = joinedLevel(level);
    return { duration: this.#frames / this.#info.sampleRate, levels: [level] };
  }

  finish(): Pyramid {
    if (this.#filled > 0) this.#close();
    const hop = this.#hop / this.#info.sampleRate;
    const { length } = this.#store;
    const fine: PyramidLevel = { hop, length, ...byMeasure(this.#store.take()) };
    return { duration: this.#frames / this.#info.sampleRate, levels: stackLevels(fine) };
  }

  #close(): void {
    this.#meter.collect(this.#reading);
    const { peakPower, energy } = this.#reading;
    const column = this.#column;
    const samples = this.#filled * this.#info.channels;
    for (let layer = 0; layer < LAYERS.length; layer++) {
      // The root of a square is exact in floats, so the full layer's peak is the sample itself.
      column[layer] = Math.sqrt(peakPower[layer]);
      column[layer + LAYERS.length] = Math.sqrt(energy[layer] / samples);
      peakPower[layer] = 0;
      energy[layer] = 0;
    }
    this.#store.push(column);
    this.#filled = 0;
  }
}

/** The rows of a store by what they measure. */
function byMeasure<Row>(rows: Row[]): { peak: Row[]; rms: Row[] } {
  return { peak: rows.slice(0, LAYERS.length), rms: rows.slice(LAYERS.length) };
}

/** Pieces of one level, one after the other. */
function inARow(pieces: readonly PyramidLevel[], hop: number): PyramidLevel {
  const length = pieces.reduce((sum, piece) => sum + piece.length, 0);
  const rowsOf = (measure: 'peak' | 'rms') =>
    LAYERS.map((_, layer) => {
      const all = new Float32Array(length);
      let at = 0;
      for (const piece of pieces) {
        all.set(piece[measure][layer], at);
        at += piece.length;
      }
      return all;
    });
  return { hop, length, peak: rowsOf('peak'), rms: rowsOf('rms') };
}

/** All levels of a pyramid from its finest, each joining REDUCTION columns, until TOP_COLUMNS or fewer are left. */
export function stackLevels(fine: PyramidLevel): PyramidLevel[] {
  const levels = [fine];
  for (let level = fine; level.length > TOP_COLUMNS; levels.push(level)) {
    level = joinedLevel(level);
  }
  return levels;
}

/** The level above: REDUCTION columns joined to one. */
const joinedLevel = ({ hop, length, peak, rms }: PyramidLevel): PyramidLevel =>
  joinColumns(hop, length, peak, rms, REDUCTION);

/** Joins each `group` columns: the largest peak, the root of the mean power. The last group may be smaller. */
function joinColumns(
  hop: number,
  length: number,
  peaks: Float32Array[],
  rms: Float32Array[],
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
    const peak = peaks[layer];
    const root = rms[layer];
    for (let column = 0; column < joined; column++) {
      const end = Math.min(length, (column + 1) * group);
      let top = 0;
      let power = 0;
      for (let i = column * group; i < end; i++) {
        const value = root[i];
        if (peak[i] > top) top = peak[i];
        power += value * value;
      }
      level.peak[layer][column] = top;
      level.rms[layer][column] = Math.sqrt(power / (end - column * group));
    }
  }
  return level;
}
