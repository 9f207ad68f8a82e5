/**
 * Float files may hold samples that are not numbers (or infinite), and a single one would stay in a recursive
 * filter for the rest of the track.
 */
import {
  FLOAT_BYTES,
  LANES,
  VECTOR_BYTES,
  type Vectors,
  pagesFor,
  vectorOrPlain,
  vectorsOf,
} from '../../shared/simd/vectors.ts';
import { EXPONENT, STEP_BYTES, finiteProgram } from './simd/finite-program.ts';

/** Samples that are looked at together; a whole number of steps. */
const PIECE = 4096;

/**
 * Replaces samples that are not finite by 0, in place.
 * @returns how many were replaced
 */
export type KeepFinite = (block: readonly Float32Array[]) => number;

/** The fastest one that works here; it has memory of its own, so keep it for the whole track. */
export function createKeepFinite(): KeepFinite {
  const allFinite = vectorOrPlain(createVectorCheck, () => plainCheck);
  return (block) => keepFinite(block, allFinite);
}

/** @param allFinite tells whether all samples of a channel are finite */
export function keepFinite(
  block: readonly Float32Array[],
  allFinite: (samples: Float32Array) => boolean = plainCheck,
): number {
  let replaced = 0;
  for (const channel of block) {
    if (allFinite(channel)) continue;
    for (let i = 0; i < channel.length; i++) {
      if (Number.isFinite(channel[i])) continue;
      channel[i] = 0;
      replaced++;
    }
  }
  return replaced;
}

/** x * 0 is 0 for every finite x and NaN for the others; four sums at a time, so that none waits for the other. */
function plainCheck(samples: Float32Array): boolean {
  const { length } = samples;
  let [a, b, c, d] = [0, 0, 0, 0];
  let i = 0;
  for (; i + 3 < length; i += 4) {
    a += samples[i] * 0;
    b += samples[i + 1] * 0;
    c += samples[i + 2] * 0;
    d += samples[i + 3] * 0;
  }
  for (; i < length; i++) a += samples[i] * 0;
  return a + b + c + d === 0;
}

/** @throws NoVectors where vector programs do not run */
function createVectorCheck(): (samples: Float32Array) => boolean {
  const sampleBytes = PIECE * FLOAT_BYTES;
  const { run, buffer }: Vectors = vectorsOf(finiteProgram(pagesFor(sampleBytes + VECTOR_BYTES)));
  const piece = new Float32Array(buffer, 0, PIECE);
  const tops = new Int32Array(buffer, sampleBytes, LANES);
  return (samples) => {
    for (let from = 0; from < samples.length; from += PIECE) {
      const to = Math.min(samples.length, from + PIECE);
      piece.set(samples.subarray(from, to));
      const steps = Math.ceil(((to - from) * FLOAT_BYTES) / STEP_BYTES);
      // The last step may be cut.
      piece.fill(0, to - from, (steps * STEP_BYTES) / FLOAT_BYTES);
      run(0, sampleBytes, steps);
      if (tops.some((top) => top === EXPONENT)) return false;
    }
    return true;
  };
}
