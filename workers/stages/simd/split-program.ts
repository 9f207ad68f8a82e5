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
 * Module whose `run(first, second, frames, slot, between)` filters and meters `frames` (at least 1) 32-bit floats
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
  const [x, w, once, allpassed, band, power] = locals(6);
  const [BASS, MIDDLE, TREBLE, FULL] = LAYERS.map((_, layer) => layer);

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
  const forward = (pointer: number, bytes: number): Code => set(pointer, addI32(get(pointer), i32(bytes)));
  const low: Code = load(get(CURSOR), 0);
  const rest: Code = load(get(CURSOR), VECTOR_BYTES);
  const eachFrame = (work: Code): Code => [
    ...set(COUNTER, get(FRAMES)),
    ...set(CURSOR, get(BETWEEN)),
    ...countDown(COUNTER, 1, [...work, ...forward(CURSOR, BETWEEN_BYTES)]),
  ];

  const splitLow: Code = [
    ...set(x, loadPair(get(FIRST), get(SECOND), 0)),
    ...meter(FULL, x),
    ...recursion(get(x), la1, la2, p1, p2),
    ...set(once, lowpassed(lg, p1, p2)),
    ...set(allpassed, allpass(la1, la2, p1, p2)),
    ...shift(p1, p2),
    ...recursion(get(once), la1, la2, q1, q2),
    ...set(band, lowpassed(lg, q1, q2)),
    ...shift(q1, q2),
    ...store(get(CURSOR), 0, get(band)),
    ...store(get(CURSOR), VECTOR_BYTES, sub(get(allpassed), get(band))),
    ...forward(FIRST, Float32Array.BYTES_PER_ELEMENT),
    ...forward(SECOND, Float32Array.BYTES_PER_ELEMENT),
  ];
  const splitRest: Code = [
    ...recursion(rest, ua1, ua2, r1, r2),
    ...set(once, lowpassed(ug, r1, r2)),
    ...set(allpassed, allpass(ua1, ua2, r1, r2)),
    ...shift(r1, r2),
    ...recursion(get(once), ua1, ua2, u1, u2),
    ...set(band, lowpassed(ug, u1, u2)),
    ...shift(u1, u2),
    ...meter(MIDDLE, band),
    ...set(band, sub(get(allpassed), get(band))),
    ...meter(TREBLE, band),
  ];
  const alignLow: Code = [
    ...recursion(low, ua1, ua2, v1, v2),
    ...set(band, allpass(ua1, ua2, v1, v2)),
    ...shift(v1, v2),
    ...meter(BASS, band),
  ];

  const kept = [...state, ...peaks, ...energies];
  const body: Code = [
    ...coefficients.flatMap((c) => set(c.local, both(c.value))),
    ...kept.flatMap((name, i) => set(name, load(get(SLOT), i * VECTOR_BYTES))),
    ...eachFrame(splitLow),
    ...eachFrame(splitRest),
    ...eachFrame(alignLow),
    ...kept.flatMap((name, i) => store(get(SLOT), i * VECTOR_BYTES, get(name))),
  ];
  return wasmModule(pages, PARAMETERS, vectors, body, INTEGERS);
}
