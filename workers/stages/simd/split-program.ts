/**
 * The loop of the split meter for two channels at once, one in each lane of a vector: the same arithmetic in
 * the same order as `BandSplit` and `PlainSplitMeter`, so that the results are the same to the last bit.
 */
import { LAYERS } from '../../../shared/bands.ts';
import { FLOAT_BYTES as SAMPLE_BYTES, VECTOR_BYTES } from '../../../shared/simd/vectors.ts';
import {
  type Code,
  add,
  both,
  forEach,
  get,
  larger,
  load,
  loadPair,
  mul,
  set,
  store,
  sub,
  wasmModule,
} from '../../../shared/simd/wasm-writer.ts';
import type { Crossover } from '../band-split.ts';

/** Two delays of each of the five sections. */
export const STATES = 10;
/** Addresses from the start of a pair's slot: states, then squared peaks, then energies, per layer. */
export const PEAK_OFFSET = STATES * VECTOR_BYTES;
export const ENERGY_OFFSET = PEAK_OFFSET + LAYERS.length * VECTOR_BYTES;
export const SLOT_BYTES = ENERGY_OFFSET + LAYERS.length * VECTOR_BYTES;

/** What lies between two loops, per frame: the low branch and the rest. */
const BETWEEN_BYTES = 2 * VECTOR_BYTES;
/** Memory that `measure` needs for `frames` frames at the address `between`. */
export const betweenBytes = (frames: number): number => frames * BETWEEN_BYTES;

/** Parameters of the function, then its integer locals. */
const [FIRST, SECOND, FRAMES, SLOT, BETWEEN] = [0, 1, 2, 3, 4];
const PARAMETERS = 5;
const [COUNTER, CURSOR] = [5, 6];
const INTEGERS = 2;

/**
 * Module whose `run(first, second, frames, slot, between)` filters and meters `frames` 32-bit floats
 * from each of the addresses `first` and `second`, with the state and readings at address `slot`.
 *
 * Three loops, one after the other: each keeps its filters in the processor's registers, and has a chain of
 * dependent steps short enough that the processor works at several frames at once.
 */
export function splitProgram(lower: Crossover, upper: Crossover, pages: number): Uint8Array<ArrayBuffer> {
  let vectors = 0;
  const local = () => PARAMETERS + INTEGERS + vectors++;
  const locals = (count: number) => Array.from({ length: count }, local);

  const state = locals(STATES);
  const [p1, p2, q1, q2, r1, r2, u1, u2, v1, v2] = state;
  const peaks = locals(LAYERS.length);
  const energies = locals(LAYERS.length);
  const coefficients = [lower.a1, lower.a2, lower.gain, upper.a1, upper.a2, upper.gain].map((value) => ({
    value,
    local: local(),
  }));
  const [la1, la2, lg, ua1, ua2, ug] = coefficients.map((c) => get(c.local));
  const [x, w, product, once, allpassed, band, power, sum] = locals(8);
  /** Sum of the two delays of each section that has a low-pass. */
  const [pSum, qSum, rSum, uSum] = locals(4);
  const [BASS, MIDDLE, TREBLE, FULL] = LAYERS.map((_, layer) => layer);

  /** The recursive half of a section: w = input − a2 w₂ − a1 w₁. */
  const recursion = (input: Code, a1: Code, a2: Code, d1: number, d2: number): Code => [
    ...set(product, mul(a1, get(d1))),
    ...set(w, sub(sub(input, mul(a2, get(d2))), get(product))),
  ];
  /** gain · (w + 2 w₁ + w₂) = gain · ((w + w₁) + (w₁ + w₂)), to `output`: the second sum is the last frame's first. */
  const lowpassed = (output: number, gain: Code, d1: number, delaySum: number): Code => [
    ...set(sum, add(get(w), get(d1))),
    ...set(output, mul(gain, add(get(sum), get(delaySum)))),
    ...set(delaySum, get(sum)),
  ];
  /** a2 w + a1 w₁ + w₂, to follow the recursion, which has worked out the middle term. */
  const allpass = (a2: Code, d2: number): Code => add(add(mul(a2, get(w)), get(product)), get(d2));
  const shift = (d1: number, d2: number): Code => [...set(d2, get(d1)), ...set(d1, get(w))];
  const meter = (layer: number, signal: number): Code => [
    ...set(power, mul(get(signal), get(signal))),
    ...set(energies[layer], add(get(energies[layer]), get(power))),
    ...set(peaks[layer], larger(get(peaks[layer]), get(power))),
  ];
  const lowAt = (n: number) => n * BETWEEN_BYTES;
  const restAt = (n: number) => n * BETWEEN_BYTES + VECTOR_BYTES;
  const eachFrame = (pointers: [local: number, bytes: number][], step: (n: number) => Code): Code => [
    ...set(CURSOR, get(BETWEEN)),
    ...forEach(FRAMES, COUNTER, [[CURSOR, BETWEEN_BYTES], ...pointers], step),
  ];

  const splitLow = (n: number): Code => [
    ...set(x, loadPair(get(FIRST), get(SECOND), n * SAMPLE_BYTES)),
    ...meter(FULL, x),
    ...recursion(get(x), la1, la2, p1, p2),
    ...lowpassed(once, lg, p1, pSum),
    ...set(allpassed, allpass(la2, p2)),
    ...shift(p1, p2),
    ...recursion(get(once), la1, la2, q1, q2),
    ...lowpassed(band, lg, q1, qSum),
    ...shift(q1, q2),
    ...store(get(CURSOR), lowAt(n), get(band)),
    ...store(get(CURSOR), restAt(n), sub(get(allpassed), get(band))),
  ];
  const splitRest = (n: number): Code => [
    ...recursion(load(get(CURSOR), restAt(n)), ua1, ua2, r1, r2),
    ...lowpassed(once, ug, r1, rSum),
    ...set(allpassed, allpass(ua2, r2)),
    ...shift(r1, r2),
    ...recursion(get(once), ua1, ua2, u1, u2),
    ...lowpassed(band, ug, u1, uSum),
    ...shift(u1, u2),
    ...meter(MIDDLE, band),
    ...set(band, sub(get(allpassed), get(band))),
    ...meter(TREBLE, band),
  ];
  const alignLow = (n: number): Code => [
    ...recursion(load(get(CURSOR), lowAt(n)), ua1, ua2, v1, v2),
    ...set(band, allpass(ua2, v2)),
    ...shift(v1, v2),
    ...meter(BASS, band),
  ];

  const kept = [...state, ...peaks, ...energies];
  const body: Code = [
    ...coefficients.flatMap((c) => set(c.local, both(c.value))),
    ...kept.flatMap((name, i) => set(name, load(get(SLOT), i * VECTOR_BYTES))),
    ...set(pSum, add(get(p1), get(p2))),
    ...set(qSum, add(get(q1), get(q2))),
    ...set(rSum, add(get(r1), get(r2))),
    ...set(uSum, add(get(u1), get(u2))),
    ...eachFrame(
      [
        [FIRST, SAMPLE_BYTES],
        [SECOND, SAMPLE_BYTES],
      ],
      splitLow,
    ),
    ...eachFrame([], splitRest),
    ...eachFrame([], alignLow),
    ...kept.flatMap((name, i) => store(get(SLOT), i * VECTOR_BYTES, get(name))),
  ];
  return wasmModule(pages, PARAMETERS, vectors, body, INTEGERS);
}
