/**
 * The loop of the split meter for two channels at once, one in each lane of a vector: the same arithmetic in
 * the same order as `BandSplit` and `PlainSplitMeter`, so that the results are the same to the last bit.
 */
import { LAYERS } from '../../../shared/bands.ts';
import type { Crossover } from '../band-split.ts';
import {
  type Code,
  add,
  addI32,
  both,
  countDown,
  get,
  i32,
  larger,
  load,
  loadPair,
  mul,
  set,
  store,
  sub,
  wasmModule,
} from './wasm-writer.ts';

const VECTOR_BYTES = 16;
/** Two delays of each of the five sections. */
export const STATES = 10;
/** Addresses from the start of a pair's slot: states, then squared peaks, then energies, per layer. */
export const PEAK_OFFSET = STATES * VECTOR_BYTES;
export const ENERGY_OFFSET = PEAK_OFFSET + LAYERS.length * VECTOR_BYTES;
export const SLOT_BYTES = ENERGY_OFFSET + LAYERS.length * VECTOR_BYTES;

/** Parameters of the function. */
const [FIRST, SECOND, FRAMES, SLOT] = [0, 1, 2, 3];
const PARAMETERS = 4;

/**
 * Module whose `run(first, second, frames, slot)` filters and meters `frames` (at least 1) 32-bit floats from
 * each of the addresses `first` and `second`, with the state and readings at address `slot`.
 */
export function splitProgram(lower: Crossover, upper: Crossover, pages: number): Uint8Array<ArrayBuffer> {
  let vectors = 0;
  const local = () => PARAMETERS + vectors++;
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
  const [x, w, lowOnce, allpassed, low, middle, bass, treble, power] = locals(9);

  /** The recursive half of a section: w = input − a2 w₂ − a1 w₁. */
  const recursion = (input: Code, a1: Code, a2: Code, d1: number, d2: number): Code =>
    set(w, sub(sub(input, mul(a2, get(d2))), mul(a1, get(d1))));
  // Doubling by an addition is exact and keeps a constant out of the registers.
  const lowpassed = (gain: Code, d1: number, d2: number): Code =>
    mul(gain, add(add(get(w), add(get(d1), get(d1))), get(d2)));
  const allpass = (a1: Code, a2: Code, d1: number, d2: number): Code =>
    add(add(mul(a2, get(w)), mul(a1, get(d1))), get(d2));
  const shift = (d1: number, d2: number): Code => [...set(d2, get(d1)), ...set(d1, get(w))];
  const meter = (layer: number, signal: number): Code => [
    ...set(power, mul(get(signal), get(signal))),
    ...set(energies[layer], add(get(energies[layer]), get(power))),
    ...set(peaks[layer], larger(get(peaks[layer]), get(power))),
  ];

  const sample: Code = [
    ...set(x, loadPair(get(FIRST), get(SECOND), 0)),
    ...recursion(get(x), la1, la2, p1, p2),
    ...set(lowOnce, lowpassed(lg, p1, p2)),
    ...set(allpassed, allpass(la1, la2, p1, p2)),
    ...shift(p1, p2),
    ...recursion(get(lowOnce), la1, la2, q1, q2),
    ...set(low, lowpassed(lg, q1, q2)),
    ...shift(q1, q2),
    ...recursion(sub(get(allpassed), get(low)), ua1, ua2, r1, r2),
    ...set(lowOnce, lowpassed(ug, r1, r2)),
    ...set(allpassed, allpass(ua1, ua2, r1, r2)),
    ...shift(r1, r2),
    ...recursion(get(lowOnce), ua1, ua2, u1, u2),
    ...set(middle, lowpassed(ug, u1, u2)),
    ...shift(u1, u2),
    ...recursion(get(low), ua1, ua2, v1, v2),
    ...set(bass, allpass(ua1, ua2, v1, v2)),
    ...shift(v1, v2),
    ...set(treble, sub(get(allpassed), get(middle))),
    ...[bass, middle, treble, x].flatMap((signal, layer) => meter(layer, signal)),
    ...set(FIRST, addI32(get(FIRST), i32(Float32Array.BYTES_PER_ELEMENT))),
    ...set(SECOND, addI32(get(SECOND), i32(Float32Array.BYTES_PER_ELEMENT))),
  ];

  const kept = [...state, ...peaks, ...energies];
  return wasmModule(pages, PARAMETERS, vectors, [
    ...coefficients.flatMap((c) => set(c.local, both(c.value))),
    ...kept.flatMap((name, i) => set(name, load(get(SLOT), i * VECTOR_BYTES))),
    ...countDown(FRAMES, 1, sample),
    ...kept.flatMap((name, i) => store(get(SLOT), i * VECTOR_BYTES, get(name))),
  ]);
}
