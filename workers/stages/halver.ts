/** Halves a sample rate by a symmetric filter, of which only the outputs that are kept get computed. */
import {
  FLOAT_BYTES,
  LANES,
  type Vectors,
  pagesFor,
  vectorOrPlain,
  vectorsOf,
} from '../../shared/simd/vectors.ts';
import { SORTED, halvingProgram } from './simd/halving-program.ts';

/** Samples that are filtered at a time. */
const PIECE = 4096;

/** A symmetric filter, and what surrounds the signal so that it has no delay. */
export interface HalvingFilter {
  taps: Float64Array;
  /** Samples of silence before the first one. */
  lead: number;
  /** Samples of silence after the last one. */
  tail: number;
}

/** Takes each piece of the output, which is written over afterwards: copy what must be kept. */
export type Sink = (samples: Float32Array) => void;

/** The arithmetic: output k of a run is Σ taps[j] · line[2 k + j]. */
interface Engine {
  readonly line: Float32Array;
  readonly output: Float32Array;
  run(count: number): void;
}

export class Halver {
  readonly #engine: Engine;
  readonly #filter: HalvingFilter;
  readonly #sink: Sink;
  /** Samples that are waiting in the line. */
  #filled: number;

  /** @param plain only for tests: computes without vector instructions */
  constructor(filter: HalvingFilter, sink: Sink, plain = false) {
    this.#engine = plain ? new PlainEngine(filter.taps) : createEngine(filter.taps);
    this.#filter = filter;
    this.#sink = sink;
    this.#filled = filter.lead;
  }

  push(samples: Float32Array): void {
    const { line } = this.#engine;
    for (let from = 0; from < samples.length;) {
      const to = Math.min(samples.length, from + PIECE);
      line.set(samples.subarray(from, to), this.#filled);
      this.#filled += to - from;
      from = to;
      this.#run();
    }
  }

  /** Hands on what the filter still holds. */
  finish(): void {
    this.push(new Float32Array(this.#filter.tail));
  }

  #run(): void {
    const { line, output } = this.#engine;
    const count = Math.floor((this.#filled - this.#filter.taps.length) / 2) + 1;
    if (count <= 0) return;
    this.#engine.run(count);
    // The rest is shorter than the filter: a plain loop is quicker than copyWithin.
    this.#filled -= 2 * count;
    for (let i = 0; i < this.#filled; i++) line[i] = line[2 * count + i];
    this.#sink(output.subarray(0, count));
  }
}

/** Longest line: what is left of a run is shorter than the filter; vectors read a little further. */
const lineLength = (taps: Float64Array) => Math.ceil((PIECE + 2 * taps.length) / SORTED + 2) * SORTED;
const outputLength = (taps: Float64Array) => lineLength(taps) / 2;

function createEngine(taps: Float64Array): Engine {
  return vectorOrPlain<Engine>(
    () => new VectorEngine(taps),
    () => new PlainEngine(taps),
  );
}

class VectorEngine implements Engine {
  readonly line: Float32Array;
  readonly output: Float32Array;
  readonly #taps: Float64Array;
  readonly #run: Vectors['run'];
  /** Addresses of the sorted samples. */
  readonly #even: number;
  readonly #odd: number;

  constructor(taps: Float64Array) {
    this.#taps = taps;
    const lineBytes = lineLength(taps) * FLOAT_BYTES;
    const outputBytes = outputLength(taps) * FLOAT_BYTES;
    this.#even = lineBytes + outputBytes;
    this.#odd = this.#even + lineBytes / 2;
    const { run, buffer } = vectorsOf(halvingProgram(taps, pagesFor(this.#odd + lineBytes / 2)));
    this.#run = run;
    this.line = new Float32Array(buffer, 0, lineBytes / FLOAT_BYTES);
    this.output = new Float32Array(buffer, lineBytes, outputBytes / FLOAT_BYTES);
  }

  run(count: number): void {
    const quads = Math.ceil(count / LANES);
    const groups = Math.ceil((2 * LANES * quads + this.#taps.length) / SORTED);
    this.#run(0, groups, this.#even, this.#odd, this.output.byteOffset, quads);
  }
}

class PlainEngine implements Engine {
  readonly line: Float32Array;
  readonly output: Float32Array;
  readonly #taps: Float64Array;

  constructor(taps: Float64Array) {
    this.#taps = taps;
    this.line = new Float32Array(lineLength(taps));
    this.output = new Float32Array(outputLength(taps));
  }

  run(count: number): void {
    const { line, output } = this;
    const taps = this.#taps;
    const last = taps.length - 1;
    for (let k = 0, i = 0; k < count; k++, i += 2) {
      let sum = last % 2 ? 0 : taps[last / 2] * line[i + last / 2];
      for (let j = 0; 2 * j < last; j++)
        if (taps[j] !== 0) sum += taps[j] * (line[i + j] + line[i + last - j]);
      output[k] = sum;
    }
  }
}
