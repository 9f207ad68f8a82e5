/** K-weighting of two channels at once, on vector instructions where there are some. */
import {
  FLOAT_BYTES,
  VECTOR_BYTES,
  type Vectors,
  vectorOrPlain,
  vectorsOf,
} from '../../../shared/simd/vectors.ts';
import {
  add,
  type Code,
  both,
  forEach,
  get,
  i32,
  load,
  loadPair,
  mul,
  set,
  store,
  sub,
  wasmModule,
} from '../../../shared/simd/wasm-writer.ts';
import { type KWeighting, PAIR_STATE, SILENT_STATE, weighPair } from './k-weighting.ts';

export interface PairWeigher {
  /** Filters samples [from, to) of two channels and adds their squares to `power`. */
  weigh(left: Float32Array, right: Float32Array, from: number, to: number): void;
  /** Sum of squares of left and right since it was last set to 0. */
  readonly power: Float64Array;
}

export function createPairWeigher(weighting: KWeighting): PairWeigher {
  return vectorOrPlain<PairWeigher>(
    () => new VectorWeigher(weighting),
    () => new PlainWeigher(weighting),
  );
}

export class PlainWeigher implements PairWeigher {
  readonly power = new Float64Array(2);
  private readonly state = new Float64Array(PAIR_STATE);

  constructor(private readonly weighting: KWeighting) {}

  weigh(left: Float32Array, right: Float32Array, from: number, to: number): void {
    weighPair(this.weighting, left, right, from, to, this.state, this.power);
  }
}

/** Of 64 KiB: enough for state, power and one piece of both channels. */
const PAGES = 1;
/** Frames that fit beside state and power in the memory. */
const PIECE = 4096;
/** Vectors at the start of the memory: two delays of each section, then the power. */
const STATES = 4;
const POWER_AT = STATES * VECTOR_BYTES;
const LEFT_AT = POWER_AT + VECTOR_BYTES;
const RIGHT_AT = LEFT_AT + PIECE * FLOAT_BYTES;

export class VectorWeigher implements PairWeigher {
  readonly power: Float64Array;
  private readonly state: Float64Array;
  private readonly left: Float32Array;
  private readonly right: Float32Array;
  private readonly run: Vectors['run'];

  /** @throws NoVectors where vector programs do not run */
  constructor(weighting: KWeighting) {
    const { run, buffer } = vectorsOf(weighingProgram(weighting));
    this.run = run;
    this.state = new Float64Array(buffer, 0, 2 * STATES);
    this.power = new Float64Array(buffer, POWER_AT, 2);
    this.left = new Float32Array(buffer, LEFT_AT, PIECE);
    this.right = new Float32Array(buffer, RIGHT_AT, PIECE);
  }

  weigh(left: Float32Array, right: Float32Array, from: number, to: number): void {
    const { state } = this;
    for (let at = from; at < to; at += PIECE) {
      const end = Math.min(to, at + PIECE);
      this.left.set(left.subarray(at, end));
      this.right.set(right.subarray(at, end));
      this.run(LEFT_AT, RIGHT_AT, end - at);
      for (let i = 0; i < state.length; i++) if (Math.abs(state[i]) < SILENT_STATE) state[i] = 0;
    }
  }
}

/** Module whose `run(left, right, frames)` takes the addresses of `frames` (at least 1) 32-bit floats each. */
function weighingProgram({ shelf, highPass }: KWeighting): Uint8Array<ArrayBuffer> {
  const [LEFT, RIGHT, FRAMES] = [0, 1, 2];
  const parameters = 3;
  const COUNTER = parameters;
  const integers = 1;
  const [p1, p2, q1, q2, power, x, w, a1, a2, b1, b2, d1, d2, gain] = Array.from(
    { length: 14 },
    (_, i) => parameters + integers + i,
  );
  const kept = [p1, p2, q1, q2, power];
  const constants: [local: number, value: number][] = [
    [a1, shelf.a1],
    [a2, shelf.a2],
    [b1, shelf.b1 / shelf.b0],
    [b2, shelf.b2 / shelf.b0],
    [d1, highPass.a1],
    [d2, highPass.a2],
    [gain, shelf.b0 * highPass.b0],
  ];
  /** The recursive half of a section: w = input − a1 w₁ − a2 w₂. */
  const recursion = (input: Code, c1: number, c2: number, w1: number, w2: number): Code =>
    set(w, sub(sub(input, mul(get(c2), get(w2))), mul(get(c1), get(w1))));
  const shift = (w1: number, w2: number): Code => [...set(w2, get(w1)), ...set(w1, get(w))];
  const pointers: [local: number, bytes: number][] = [
    [LEFT, FLOAT_BYTES],
    [RIGHT, FLOAT_BYTES],
  ];
  const zero = i32(0);
  const body: Code = [
    ...constants.flatMap(([local, value]) => set(local, both(value))),
    ...kept.flatMap((local, i) => set(local, load(zero, i * VECTOR_BYTES))),
    ...forEach(FRAMES, COUNTER, pointers, (n) => [
      ...recursion(mul(get(gain), loadPair(get(LEFT), get(RIGHT), n * FLOAT_BYTES)), a1, a2, p1, p2),
      ...set(x, add(add(get(w), mul(get(b1), get(p1))), mul(get(b2), get(p2)))),
      ...shift(p1, p2),
      ...recursion(get(x), d1, d2, q1, q2),
      // The high-pass has the numerator 1, −2, 1.
      ...set(x, sub(add(get(w), get(q2)), add(get(q1), get(q1)))),
      ...shift(q1, q2),
      ...set(power, add(get(power), mul(get(x), get(x)))),
    ]),
    ...kept.flatMap((local, i) => store(zero, i * VECTOR_BYTES, get(local))),
  ];
  return wasmModule(PAGES, parameters, kept.length + constants.length + 2, body, integers);
}
