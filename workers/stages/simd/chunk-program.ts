/** The loop of the grid's chunk sums: four samples at once, one chunk after the other. */
import { FLOAT_BYTES, LANES, VECTOR_BYTES } from '../../../shared/simd/vectors.ts';
import {
  type Code,
  addFloats,
  addI32,
  andBits,
  countDown,
  evenFloats,
  fourFloats,
  fourIntegers,
  get,
  i32,
  load,
  mulFloats,
  oddFloats,
  set,
  store,
  subFloats,
  wasmModule,
} from '../../../shared/simd/wasm-writer.ts';

const [INPUT, OUTPUT, CHUNKS] = [0, 1, 2];
const PARAMETERS = 3;
const ALL_BITS = -1;

/**
 * Module whose `run(input, output, chunks)` writes four 32-bit floats for each of `chunks` (at least 1) chunks:
 * Σ (x[i] − x[i−1])², Σ (x[i] − 2 x[i−1] + x[i−2])², Σ x[i] · ramp[i] and Σ x[i].
 * At address `input` are the two samples before the first chunk, then the chunks.
 * @param ramp one weight for each sample of a chunk
 */
export function chunkProgram(ramp: readonly number[], pages: number): Uint8Array<ArrayBuffer> {
  let vectors = 0;
  const local = () => PARAMETERS + vectors++;
  const [x, before, difference, bend] = [local(), local(), local(), local()];
  const sums = [local(), local(), local(), local()];
  const [presence, air, rising, total] = sums;
  const lanes = Array.from({ length: LANES }, (_, lane) => lane);
  const steps = Array.from({ length: Math.ceil(ramp.length / LANES) }, (_, step) => ({
    offset: step * VECTOR_BYTES,
    weights: local(),
    values: lanes.map((lane) => ramp[step * LANES + lane] ?? 0),
    isWhole: (step + 1) * LANES <= ramp.length,
  }));
  /** Bits that blank what the last vector reads beyond its chunk. */
  const mask = local();
  const maskBits = lanes.map((lane) => (ramp.length % LANES > lane ? ALL_BITS : 0));

  const grow = (sum: number, value: Code) => set(sum, addFloats(get(sum), value));
  const square = (value: number) => mulFloats(get(value), get(value));
  const chunk = steps.flatMap(({ offset, weights, isWhole }): Code => {
    const inside = (value: Code) => (isWhole ? value : andBits(get(mask), value));
    return [
      ...set(x, load(get(INPUT), offset + 2 * FLOAT_BYTES)),
      ...set(before, load(get(INPUT), offset + FLOAT_BYTES)),
      ...set(difference, subFloats(get(x), get(before))),
      ...set(bend, subFloats(get(difference), subFloats(get(before), load(get(INPUT), offset)))),
      ...set(difference, inside(get(difference))),
      ...set(bend, inside(get(bend))),
      ...set(x, inside(get(x))),
      ...grow(presence, square(difference)),
      ...grow(air, square(bend)),
      ...grow(rising, mulFloats(get(x), get(weights))),
      ...grow(total, get(x)),
    ];
  });
  /** Lanes 0 + 1 and 2 + 3 of one vector, then of another. */
  const paired = (a: Code, b: Code): Code => addFloats(evenFloats(a, b), oddFloats(a, b));
  const [low, high] = [x, before];
  return wasmModule(pages, PARAMETERS, vectors, [
    ...steps.flatMap(({ weights, values }) => set(weights, fourFloats(values))),
    ...set(mask, fourIntegers(maskBits)),
    ...countDown(CHUNKS, 1, [
      ...sums.flatMap((sum) => set(sum, fourFloats([0, 0, 0, 0]))),
      ...chunk,
      ...set(low, paired(get(presence), get(air))),
      ...set(high, paired(get(rising), get(total))),
      ...store(get(OUTPUT), 0, paired(get(low), get(high))),
      ...set(INPUT, addI32(get(INPUT), i32(ramp.length * FLOAT_BYTES))),
      ...set(OUTPUT, addI32(get(OUTPUT), i32(VECTOR_BYTES))),
    ]),
  ]);
}
