/** The loop that mixes two channels to one, four samples at once. */
import { FLOAT_BYTES, LANES, VECTOR_BYTES } from '../../../shared/simd/vectors.ts';
import {
  addFloats,
  addI32,
  countDown,
  get,
  i32,
  load,
  mulFloats,
  set,
  store,
  wasmModule,
} from '../../../shared/simd/wasm-writer.ts';

const [LEFT, RIGHT, OUTPUT, WEIGHTS, QUADS] = [0, 1, 2, 3, 4];
const PARAMETERS = 5;

/**
 * Module whose `run(left, right, output, weights, quads)` mixes 4 · quads (at least 4) 32-bit floats. At address
 * `weights` is the left one's weight four times, then the right one's.
 */
export function mixProgram(pages: number): Uint8Array<ArrayBuffer> {
  const [a, b] = [PARAMETERS, PARAMETERS + 1];
  const next = (pointer: number) => set(pointer, addI32(get(pointer), i32(LANES * FLOAT_BYTES)));
  return wasmModule(pages, PARAMETERS, 2, [
    ...set(a, load(get(WEIGHTS), 0)),
    ...set(b, load(get(WEIGHTS), VECTOR_BYTES)),
    ...countDown(QUADS, 1, [
      ...store(
        get(OUTPUT),
        0,
        addFloats(mulFloats(get(a), load(get(LEFT), 0)), mulFloats(get(b), load(get(RIGHT), 0))),
      ),
      ...[LEFT, RIGHT, OUTPUT].flatMap(next),
    ]),
  ]);
}
