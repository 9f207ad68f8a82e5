/** The loop that looks for samples that are not finite numbers, eight at once. */
import { VECTOR_BYTES } from '../../../shared/simd/vectors.ts';
import {
  addI32,
  allIntegers,
  andBits,
  countDown,
  get,
  i32,
  largerIntegers,
  load,
  set,
  store,
  wasmModule,
} from '../../../shared/simd/wasm-writer.ts';

const [SAMPLES, OUTPUT, STEPS] = [0, 1, 2];
const PARAMETERS = 3;
/** Two vectors at a time, so that neither waits for the other. */
const SIDE_BY_SIDE = 2;
/** Bytes of samples in one step. */
export const STEP_BYTES = SIDE_BY_SIDE * VECTOR_BYTES;

/**
 * Bits that are all set in infinities and in what is not a number, and in no other number
 * (IEEE 754, single precision: the exponent). As an integer it is larger than any other exponent's.
 */
export const EXPONENT = 0x7f800000;

/**
 * Module whose `run(samples, output, steps)` leaves at `output` four integers of which the largest is the largest
 * exponent, in its place, of the 32-bit floats in `steps` (at least 1) steps.
 */
export function finiteProgram(pages: number): Uint8Array<ArrayBuffer> {
  const mask = PARAMETERS;
  const tops = Array.from({ length: SIDE_BY_SIDE }, (_, i) => PARAMETERS + 1 + i);
  return wasmModule(pages, PARAMETERS, 1 + SIDE_BY_SIDE, [
    ...set(mask, allIntegers(EXPONENT)),
    ...tops.flatMap((top) => set(top, allIntegers(0))),
    ...countDown(STEPS, 1, [
      ...tops.flatMap((top, i) =>
        set(top, largerIntegers(get(top), andBits(get(mask), load(get(SAMPLES), i * VECTOR_BYTES)))),
      ),
      ...set(SAMPLES, addI32(get(SAMPLES), i32(STEP_BYTES))),
    ]),
    ...store(get(OUTPUT), 0, tops.map(get).reduce(largerIntegers)),
  ]);
}
