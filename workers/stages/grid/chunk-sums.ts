/**
 * Sums over chunks of a fixed number of samples: what the wide bands and the triangular decimation are made of.
 * On vector instructions where there are some, to single precision.
 */
import {
  FLOAT_BYTES,
  LANES,
  type Vectors,
  pagesFor,
  vectorOrPlain,
  vectorsOf,
} from '../../../shared/simd/vectors.ts';
import { chunkProgram } from '../simd/chunk-program.ts';

/** Samples that are taken at a time. */
const PIECE = 4096;
/** Samples before a chunk that its differences need. */
const BACK = 2;
/** Numbers per chunk, in this order. */
export const CHUNK_NUMBERS = 4;
/** Σ of squared first differences. */
export const PRESENCE_SUM = 0;
/** Σ of squared second differences. */
export const AIR_SUM = 1;
/** Σ of the samples with weights that rise from 0 to 1 over the chunk. */
export const RISING_SUM = 2;
/** Σ of the samples. */
export const TOTAL_SUM = 3;

interface Engine {
  readonly line: Float32Array;
  readonly output: Float32Array;
  run(chunks: number): void;
}

export class ChunkSums {
  readonly #size: number;
  readonly #engine: Engine;
  /** Samples in the line; silence before the first one. */
  #filled = BACK;

  /**
   * @param size samples per chunk
   * @param plain only for tests: computes without vector instructions
   */
  constructor(size: number, plain = false) {
    this.#size = size;
    const make = () => new PlainEngine(size);
    this.#engine = plain ? make() : vectorOrPlain<Engine>(() => new VectorEngine(size), make);
  }

  /**
   * Takes samples and hands on the CHUNK_NUMBERS numbers of each chunk that they complete.
   * @param sink must copy what it keeps; what is left of the last chunk of a track is never handed on
   */
  push(samples: Float32Array, sink: (sums: Float32Array, chunks: number) => void): void {
    const { line, output } = this.#engine;
    for (let from = 0; from < samples.length;) {
      const to = Math.min(samples.length, from + PIECE);
      line.set(samples.subarray(from, to), this.#filled);
      this.#filled += to - from;
      from = to;
      const chunks = Math.floor((this.#filled - BACK) / this.#size);
      if (chunks === 0) continue;
      this.#engine.run(chunks);
      // The rest is a few samples: a plain loop is quicker than copyWithin.
      const done = chunks * this.#size;
      this.#filled -= done;
      for (let i = 0; i < this.#filled; i++) line[i] = line[done + i];
      sink(output, chunks);
    }
  }
}

/** Room for what is left of a chunk, and for a vector that reads beyond the last one. */
const lineLength = (size: number) => PIECE + BACK + size + LANES;
const outputLength = (size: number) => Math.ceil(lineLength(size) / size) * CHUNK_NUMBERS;
/** Weights that rise from 0 to 1, each at the middle of its sample. */
const rampOf = (size: number) => Array.from({ length: size }, (_, i) => (i + 0.5) / size);

class VectorEngine implements Engine {
  readonly line: Float32Array;
  readonly output: Float32Array;
  readonly #run: Vectors['run'];

  constructor(size: number) {
    const lineBytes = lineLength(size) * FLOAT_BYTES;
    const bytes = lineBytes + outputLength(size) * FLOAT_BYTES;
    const { run, buffer } = vectorsOf(chunkProgram(rampOf(size), pagesFor(bytes)));
    this.#run = run;
    this.line = new Float32Array(buffer, 0, lineLength(size));
    this.output = new Float32Array(buffer, lineBytes, outputLength(size));
  }

  run(chunks: number): void {
    this.#run(0, this.output.byteOffset, chunks);
  }
}

class PlainEngine implements Engine {
  readonly line: Float32Array;
  readonly output: Float32Array;
  readonly #ramp: number[];

  constructor(size: number) {
    this.#ramp = rampOf(size);
    this.line = new Float32Array(lineLength(size));
    this.output = new Float32Array(outputLength(size));
  }

  run(chunks: number): void {
    const { line, output } = this;
    const ramp = this.#ramp;
    let [past, last] = line;
    for (let chunk = 0, i = BACK; chunk < chunks; chunk++) {
      let [presence, air, rising, total] = [0, 0, 0, 0];
      for (let k = 0; k < ramp.length; k++, i++) {
        const x = line[i];
        const difference = x - last;
        const bend = difference - (last - past);
        presence += difference * difference;
        air += bend * bend;
        rising += x * ramp[k];
        total += x;
        past = last;
        last = x;
      }
      const at = chunk * CHUNK_NUMBERS;
      output[at + PRESENCE_SUM] = presence;
      output[at + AIR_SUM] = air;
      output[at + RISING_SUM] = rising;
      output[at + TOTAL_SUM] = total;
    }
  }
}
