/** The loops of a filter that halves the sample rate, four outputs at once. */
import { FLOAT_BYTES, LANES, VECTOR_BYTES } from '../../../shared/simd/vectors.ts';
import {
  type Code,
  addFloats,
  addI32,
  allFloats,
  countDown,
  evenFloats,
  get,
  i32,
  load,
  mulFloats,
  oddFloats,
  set,
  store,
  wasmModule,
} from '../../../shared/simd/wasm-writer.ts';

/** Samples that are sorted in one go. */
export const SORTED = 2 * LANES;

const [INPUT, GROUPS, EVEN, ODD, OUTPUT, QUADS] = [0, 1, 2, 3, 4, 5];
const PARAMETERS = 6;
const [COUNTER, EVENS, ODDS] = [6, 7, 8];
const INTEGERS = 3;

/**
 * Module whose `run(input, groups, even, odd, output, quads)` makes 4 · quads (at least 4) outputs
 * y[k] = Σ taps[j] · x[2 k + j] of the 32-bit floats x at address `input`.
 *
 * First it sorts `groups` · SORTED samples, which must be all that the outputs need, into those of even and of odd
 * place at addresses `even` and `odd`: then what goes into outputs side by side lies side by side.
 * @param taps symmetric; those that are 0 cost nothing
 */
export function halvingProgram(taps: ArrayLike<number>, pages: number): Uint8Array<ArrayBuffer> {
  const last = taps.length - 1;
  let vectors = 0;
  const local = () => PARAMETERS + INTEGERS + vectors++;
  const [first, second, sum] = [local(), local(), local()];
  const pairs: { j: number; gain: number; local: number }[] = [];
  for (let j = 0; 2 * j <= last; j++) if (taps[j] !== 0) pairs.push({ j, gain: taps[j], local: local() });
  const forward = (pointer: number, bytes: number) => set(pointer, addI32(get(pointer), i32(bytes)));

  const sort: Code = [
    ...set(first, load(get(INPUT), 0)),
    ...set(second, load(get(INPUT), VECTOR_BYTES)),
    ...store(get(EVENS), 0, evenFloats(get(first), get(second))),
    ...store(get(ODDS), 0, oddFloats(get(first), get(second))),
    ...forward(INPUT, 2 * VECTOR_BYTES),
    ...forward(EVENS, VECTOR_BYTES),
    ...forward(ODDS, VECTOR_BYTES),
  ];
  /** x[j], x[2 + j], x[4 + j] and x[6 + j]. */
  const sorted = (j: number): Code => load(get(j % 2 ? ODDS : EVENS), Math.floor(j / 2) * FLOAT_BYTES);
  const terms = pairs.map(({ j, local }) => {
    const samples = 2 * j === last ? sorted(j) : addFloats(sorted(j), sorted(last - j));
    return mulFloats(get(local), samples);
  });
  const filter: Code = [
    ...terms.flatMap((term, i) => set(sum, i ? addFloats(get(sum), term) : term)),
    ...store(get(OUTPUT), 0, get(sum)),
    ...forward(EVENS, VECTOR_BYTES),
    ...forward(ODDS, VECTOR_BYTES),
    ...forward(OUTPUT, VECTOR_BYTES),
  ];
  const rewind: Code = [...set(EVENS, get(EVEN)), ...set(ODDS, get(ODD))];
  const body: Code = [
    ...pairs.flatMap(({ local, gain }) => set(local, allFloats(gain))),
    ...rewind,
    ...set(COUNTER, get(GROUPS)),
    ...countDown(COUNTER, 1, sort),
    ...rewind,
    ...countDown(QUADS, 1, filter),
  ];
  return wasmModule(pages, PARAMETERS, vectors, body, INTEGERS);
}
