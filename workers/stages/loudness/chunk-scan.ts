/**
 * The cheap look at every sample that decides which ones the true-peak meter must oversample: per chunk of 32
 * samples the largest level and the largest second difference. On vector instructions where there are some.
 */
import {
  FLOAT_BYTES,
  LANES,
  VECTOR_BYTES,
  type Vectors,
  pagesFor,
  vectorOrPlain,
  vectorsOf,
} from '../../../shared/simd/vectors.ts';
import {
  type Code,
  absFloats,
  addFloats,
  addI32,
  countDown,
  evenFloats,
  get,
  i32,
  largerFloats,
  load,
  oddFloats,
  set,
  store,
  subFloats,
  wasmModule,
} from '../../../shared/simd/wasm-writer.ts';

/** Samples that are judged together. */
export const CHUNK = 32;
/** A vector of room before the samples, as the first second difference looks one sample back. */
const LEAD_BYTES = VECTOR_BYTES;
/** A vector comes out of each chunk: level, second difference, and both again. */
const OUT_FLOATS = LANES;

export interface ChunkScan {
  /** Where the caller puts the samples of all chunks. */
  readonly samples: Float32Array;
  /** Fills `tops` and `bends` for the first `chunks` chunks. */
  scan(chunks: number): void;
  /** Largest |x| per chunk. */
  readonly tops: Float32Array;
  /** Largest |x₋₁ − 2 x + x₊₁| over the samples x of a chunk, to single precision. */
  readonly bends: Float32Array;
}

/** @param chunks most chunks at a time */
export function createChunkScan(chunks: number): ChunkScan {
  return vectorOrPlain<ChunkScan>(
    () => new VectorScan(chunks),
    () => new PlainScan(chunks),
  );
}

export class PlainScan implements ChunkScan {
  readonly samples: Float32Array;
  readonly tops: Float32Array;
  readonly bends: Float32Array;

  constructor(chunks: number) {
    this.samples = new Float32Array(chunks * CHUNK);
    this.tops = new Float32Array(chunks);
    this.bends = new Float32Array(chunks);
  }

  scan(chunks: number): void {
    const { samples, tops, bends } = this;
    let before = 0;
    let here = samples[0];
    for (let chunk = 0, i = 0; chunk < chunks; chunk++) {
      let top = 0;
      let bend = 0;
      for (const end = i + CHUNK; i < end; i++) {
        const after = i + 1 < samples.length ? samples[i + 1] : 0;
        const level = Math.abs(here);
        const difference = Math.abs(before - 2 * here + after);
        if (level > top) top = level;
        if (difference > bend) bend = difference;
        before = here;
        here = after;
      }
      tops[chunk] = top;
      bends[chunk] = bend;
    }
  }
}

export class VectorScan implements ChunkScan {
  readonly samples: Float32Array;
  readonly tops: Float32Array;
  readonly bends: Float32Array;
  private readonly run: Vectors['run'];
  private readonly out: Float32Array;

  /** @throws NoVectors where vector programs do not run */
  constructor(chunks: number) {
    const sampleBytes = chunks * CHUNK * FLOAT_BYTES;
    const outAt = LEAD_BYTES + sampleBytes + VECTOR_BYTES;
    const pages = pagesFor(outAt + chunks * OUT_FLOATS * FLOAT_BYTES);
    const { run, buffer } = vectorsOf(scanProgram(pages));
    this.run = run;
    this.samples = new Float32Array(buffer, LEAD_BYTES, chunks * CHUNK);
    this.out = new Float32Array(buffer, outAt, chunks * OUT_FLOATS);
    this.tops = new Float32Array(chunks);
    this.bends = new Float32Array(chunks);
  }

  scan(chunks: number): void {
    const { out, tops, bends } = this;
    if (!chunks) return;
    this.run(this.samples.byteOffset, out.byteOffset, chunks);
    for (let chunk = 0, i = 0; chunk < chunks; chunk++, i += OUT_FLOATS) {
      tops[chunk] = out[i];
      bends[chunk] = out[i + 1];
    }
  }
}

/** Module whose `run(samples, out, chunks)` takes the addresses of samples and results. */
function scanProgram(pages: number): Uint8Array<ArrayBuffer> {
  const [SAMPLES, OUT, CHUNKS, HERE, TOP, BEND] = [0, 1, 2, 3, 4, 5];
  const parameters = 3;
  const vectors = 3;
  const body: Code[] = [];
  for (let offset = 0; offset < CHUNK * FLOAT_BYTES; offset += VECTOR_BYTES) {
    // The address of the vector one sample earlier keeps all offsets from being negative.
    const at = (samples: number) => load(get(SAMPLES), offset + FLOAT_BYTES * (samples + 1));
    body.push(set(HERE, at(0)));
    const level = absFloats(get(HERE));
    const difference = absFloats(subFloats(addFloats(at(-1), at(1)), addFloats(get(HERE), get(HERE))));
    body.push(set(TOP, offset ? largerFloats(get(TOP), level) : level));
    body.push(set(BEND, offset ? largerFloats(get(BEND), difference) : difference));
  }
  /** The larger of lanes 0 and 1 and of lanes 2 and 3 of one vector, then of another. */
  const paired = (a: Code, b: Code): Code => largerFloats(evenFloats(a, b), oddFloats(a, b));
  return wasmModule(pages, parameters, vectors, [
    ...set(SAMPLES, addI32(get(SAMPLES), i32(-FLOAT_BYTES))),
    ...countDown(CHUNKS, 1, [
      ...body.flat(),
      ...set(HERE, paired(get(TOP), get(BEND))),
      ...store(get(OUT), 0, paired(get(HERE), get(HERE))),
      ...set(SAMPLES, addI32(get(SAMPLES), i32(CHUNK * FLOAT_BYTES))),
      ...set(OUT, addI32(get(OUT), i32(OUT_FLOATS * FLOAT_BYTES))),
    ]),
  ]);
}
