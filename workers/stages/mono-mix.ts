/** Mixes the channels of a block to one, on vector instructions for two channels where there are some. */
import {
  FLOAT_BYTES,
  LANES,
  VECTOR_BYTES,
  type Vectors,
  pagesFor,
  vectorOrPlain,
  vectorsOf,
} from '../../shared/simd/vectors.ts';
import { mixProgram } from './simd/mix-program.ts';

/** Most frames that are mixed at a time. */
export const MIX_FRAMES = 4096;
const STEREO = 2;

export interface MonoMix {
  /**
   * Frames [from, to) of `block` (at most MIX_FRAMES) as one channel: the sum of the channels times `weights`, to
   * single precision. The array is written over by the next call.
   */
  mix(block: readonly Float32Array[], weights: readonly number[], from: number, to: number): Float32Array;
}

/** @param channels number of channels of every block */
export function createMonoMix(channels: number): MonoMix {
  if (channels !== STEREO) return new PlainMix();
  return vectorOrPlain<MonoMix>(
    () => new VectorMix(),
    () => new PlainMix(),
  );
}

export class PlainMix implements MonoMix {
  readonly #mono = new Float32Array(MIX_FRAMES);

  mix(block: readonly Float32Array[], weights: readonly number[], from: number, to: number): Float32Array {
    const mono = this.#mono.subarray(0, to - from);
    const [weight] = weights;
    const [first] = block;
    for (let i = 0; i < mono.length; i++) mono[i] = weight * first[from + i];
    for (let c = 1; c < block.length; c++) {
      const [weight, channel] = [weights[c], block[c]];
      for (let i = 0; i < mono.length; i++) mono[i] += weight * channel[from + i];
    }
    return mono;
  }
}

export class VectorMix implements MonoMix {
  readonly #run: Vectors['run'];
  readonly #weights: Float32Array;
  readonly #left: Float32Array;
  readonly #right: Float32Array;
  readonly #mono: Float32Array;

  /** @throws NoVectors where vector programs do not run */
  constructor() {
    const mixBytes = MIX_FRAMES * FLOAT_BYTES;
    const leftAt = STEREO * VECTOR_BYTES;
    const { run, buffer } = vectorsOf(mixProgram(pagesFor(leftAt + 3 * mixBytes)));
    this.#run = run;
    this.#weights = new Float32Array(buffer, 0, STEREO * LANES);
    this.#left = new Float32Array(buffer, leftAt, MIX_FRAMES);
    this.#right = new Float32Array(buffer, leftAt + mixBytes, MIX_FRAMES);
    this.#mono = new Float32Array(buffer, leftAt + 2 * mixBytes, MIX_FRAMES);
  }

  mix(block: readonly Float32Array[], weights: readonly number[], from: number, to: number): Float32Array {
    const [left, right, mono] = [this.#left, this.#right, this.#mono];
    left.set(block[0].subarray(from, to));
    right.set(block[1].subarray(from, to));
    this.#weights.fill(weights[0], 0, LANES).fill(weights[1], LANES);
    // The vectors may reach a little past the last frame, which does no harm: MIX_FRAMES is a multiple of four.
    const quads = Math.ceil((to - from) / LANES);
    if (quads > 0) this.#run(left.byteOffset, right.byteOffset, mono.byteOffset, 0, quads);
    return mono.subarray(0, to - from);
  }
}
