/**
 * Writes small WebAssembly modules: just the instructions that the loops over samples and levels need.
 * Encoding: WebAssembly Core Specification 2.0, chapter 5 "Binary Format"
 * (https://www.w3.org/TR/wasm-core-2/#binary-format).
 */

/** Encoded instructions. An expression leaves its value on the stack. */
export type Code = readonly number[];

const I32 = 0x7f;
const V128 = 0x7b;
const SIMD = 0xfd;
const ALIGN_2 = 1;
const ALIGN_4 = 2;
const ALIGN_8 = 3;
const ALIGN_16 = 4;

/** Unsigned LEB128. */
function unsigned(value: number): number[] {
  const bytes: number[] = [];
  do {
    const low = value & 0x7f;
    value >>>= 7;
    bytes.push(value ? low | 0x80 : low);
  } while (value);
  return bytes;
}

/** Signed LEB128. */
function signed(value: number): number[] {
  const bytes: number[] = [];
  for (;;) {
    const low = value & 0x7f;
    value >>= 7;
    const last = (value === 0 && !(low & 0x40)) || (value === -1 && (low & 0x40) !== 0);
    bytes.push(last ? low : low | 0x80);
    if (last) return bytes;
  }
}

/** The bytes of two 32-bit lanes of each of two vectors that lie one after the other. */
const bytesOf = (lanes: number[]) => lanes.flatMap((lane) => [0, 1, 2, 3].map((byte) => 4 * lane + byte));

const simd = (opcode: number): number[] => [SIMD, ...unsigned(opcode)];
const memory = (align: number, offset: number): number[] => [...unsigned(align), ...unsigned(offset)];

export const get = (local: number): Code => [0x20, ...unsigned(local)];
export const set = (local: number, value: Code): Code => [...value, 0x21, ...unsigned(local)];
/** Sets a local and leaves the value on the stack as well. */
export const tee = (local: number, value: Code): Code => [...value, 0x22, ...unsigned(local)];

export const i32 = (value: number): Code => [0x41, ...signed(value)];
export const addI32 = (a: Code, b: Code): Code => [...a, ...b, 0x6a];
export const andI32 = (a: Code, b: Code): Code => [...a, ...b, 0x71];
/** Unsigned. */
export const shiftRightI32 = (a: Code, b: Code): Code => [...a, ...b, 0x76];
export const shiftLeftI32 = (a: Code, b: Code): Code => [...a, ...b, 0x74];
/** Signed: the larger. Both are computed twice, so they should be locals. */
export const largerI32 = (a: Code, b: Code): Code => [...a, ...b, ...a, ...b, 0x4a, 0x1b];
export const loadI32 = (address: Code, offset: number): Code => [
  ...address,
  0x28,
  ...memory(ALIGN_4, offset),
];
/** 16 bits without a sign. */
export const loadHalf = (address: Code, offset: number): Code => [
  ...address,
  0x2f,
  ...memory(ALIGN_2, offset),
];
export const storeHalf = (address: Code, offset: number, value: Code): Code => [
  ...address,
  ...value,
  0x3b,
  ...memory(ALIGN_2, offset),
];

/** Two 64-bit floats at once. */
export const add = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xf0)];
export const sub = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xf1)];
export const mul = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xf2)];
/** Per lane: a < b ? b : a. */
export const larger = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xf7)];
/** Per lane: b < a ? b : a. */
export const smaller = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xf6)];
export const div = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xf3)];
export const sqrt = (a: Code): Code => [...a, ...simd(0xef)];
export const floor = (a: Code): Code => [...a, ...simd(0x75)];
/** Per lane: all bits set where a > b, else none. */
export const greater = (a: Code, b: Code): Code => [...a, ...b, ...simd(0x4a)];
/** Lanes 0 and 1 of four 32-bit floats, widened. */
export const widened = (a: Code): Code => [...a, ...simd(0x5f)];
/** Rounded to single precision, in lanes 0 and 1 of four. */
export const rounded = (a: Code): Code => [...a, ...simd(0x5e)];
/** Lanes 0 and 1 of four 32-bit integers. */
export const fromIntegers = (a: Code): Code => [...a, ...simd(0xfe)];
/** Whole parts in lanes 0 and 1 of four 32-bit integers; 0 for what is not a number. */
export const truncated = (a: Code): Code => [...a, ...simd(0xfc)];
/** Lane 1 of `a`, then lane 0 of `b`. */
export const innerLanes = (a: Code, b: Code): Code => [...a, ...b, ...simd(0x0d), ...bytesOf([2, 3, 4, 5])];
/** The 64-bit float at the address, in both lanes. */
export const loadBoth = (address: Code, offset: number): Code => [
  ...address,
  ...simd(0x0a),
  ...memory(ALIGN_8, offset),
];
/** The same number in both lanes. */
export function both(value: number): Code {
  const bytes = new Uint8Array(8);
  new DataView(bytes.buffer).setFloat64(0, value, true);
  return [0x44, ...bytes, ...simd(0x14)];
}

/** Four 32-bit floats at once. */
export const addFloats = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xe4)];
export const subFloats = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xe5)];
export const mulFloats = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xe6)];
export const absFloats = (a: Code): Code => [...a, ...simd(0xe0)];
/** Per lane: a < b ? b : a. */
export const largerFloats = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xeb)];
/** The same number, to single precision, in all four lanes. */
export function allFloats(value: number): Code {
  const bytes = new Uint8Array(4);
  new DataView(bytes.buffer).setFloat32(0, value, true);
  return [0x43, ...bytes, ...simd(0x13)];
}
/** A vector of four numbers, to single precision. */
export const fourFloats = (values: readonly number[]): Code => [
  ...simd(0x0c),
  ...new Uint8Array(Float32Array.from(values).buffer),
];
/** Lanes 0 and 2 of `a`, then those of `b`. */
export const evenFloats = (a: Code, b: Code): Code => [...a, ...b, ...simd(0x0d), ...bytesOf([0, 2, 4, 6])];
/** Lanes 1 and 3 of `a`, then those of `b`. */
export const oddFloats = (a: Code, b: Code): Code => [...a, ...b, ...simd(0x0d), ...bytesOf([1, 3, 5, 7])];

/** Lanes 0 of `a` and `b`, then lanes 1. */
export const lowerLanes = (a: Code, b: Code): Code => [...a, ...b, ...simd(0x0d), ...bytesOf([0, 4, 1, 5])];
/** Lanes 2 of `a` and `b`, then lanes 3. */
export const upperLanes = (a: Code, b: Code): Code => [...a, ...b, ...simd(0x0d), ...bytesOf([2, 6, 3, 7])];
/** The halves of a vector that stands in a local, changed over. */
export const swapped = (local: number): Code => [
  ...get(local),
  ...get(local),
  ...simd(0x0d),
  ...bytesOf([2, 3, 0, 1]),
];

/** Four 32-bit integers at once. */
export const allIntegers = (value: number): Code => inAll(i32(value));
/** A 32-bit integer in all four lanes. */
export const inAll = (value: Code): Code => [...value, ...simd(0x11)];
export const fourIntegers = (values: readonly number[]): Code => [
  ...simd(0x0c),
  ...new Uint8Array(Int32Array.from(values).buffer),
];
export const andBits = (a: Code, b: Code): Code => [...a, ...b, ...simd(0x4e)];
/** One of the lanes, 0..3. */
export const lane = (a: Code, index: number): Code => [...a, ...simd(0x1b), index];
export const subIntegers = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xb1)];
/** Per lane, signed: all bits set where a > b, else none. */
export const greaterIntegers = (a: Code, b: Code): Code => [...a, ...b, ...simd(0x3b)];
/** Per lane, signed: the larger. */
export const largerIntegers = (a: Code, b: Code): Code => [...a, ...b, ...simd(0xb8)];

export const load = (address: Code, offset: number): Code => [
  ...address,
  ...simd(0x00),
  ...memory(ALIGN_16, offset),
];
export const store = (address: Code, offset: number, value: Code): Code => [
  ...address,
  ...value,
  ...simd(0x0b),
  ...memory(ALIGN_16, offset),
];
/** One 32-bit float from each of two addresses, widened to the two lanes. */
export const loadPair = (first: Code, second: Code, offset: number): Code => [
  ...second,
  ...first,
  ...simd(0x5c), // v128.load32_zero
  ...memory(ALIGN_4, offset),
  ...simd(0x56), // v128.load32_lane 1
  ...memory(ALIGN_4, offset),
  1,
  ...simd(0x5f), // f64x2.promote_low_f32x4
];

/** Runs `body` again and again while the 32-bit local `counter`, lowered by `step` each time, is not 0. */
export const countDown = (counter: number, step: number, body: Code): Code => [
  0x03,
  0x40,
  ...body,
  ...tee(counter, addI32(get(counter), i32(-step))),
  0x0d,
  0,
  0x0b,
];

export const whenNotZero = (condition: Code, body: Code): Code => [...condition, 0x04, 0x40, ...body, 0x0b];

/** Steps of `forEach` that are written out side by side, as a power of two. */
const UNROLLED_BITS = 2;
const UNROLLED = 2 ** UNROLLED_BITS;

/**
 * Runs `step` as often as the 32-bit local `times` says (may be 0), several steps per turn of the loop.
 * @param counter 32-bit local that is free for this
 * @param pointers 32-bit locals that move on by so many bytes at each step
 * @param step the code of step `n` since the pointers were last moved: its addresses have n times those bytes added
 */
export function forEach(
  times: number,
  counter: number,
  pointers: readonly [local: number, bytes: number][],
  step: (n: number) => Code,
): Code {
  const turn = (steps: number): Code => [
    ...Array.from({ length: steps }, (_, n) => step(n)).flat(),
    ...pointers.flatMap(([local, bytes]) => set(local, addI32(get(local), i32(steps * bytes)))),
  ];
  const loop = (turns: Code, steps: number): Code => [
    ...set(counter, turns),
    ...whenNotZero(get(counter), countDown(counter, 1, turn(steps))),
  ];
  return [
    ...loop(shiftRightI32(get(times), i32(UNROLLED_BITS)), UNROLLED),
    ...loop(andI32(get(times), i32(UNROLLED - 1)), 1),
  ];
}

/**
 * A module with a memory (exported as `memory`) and one function (exported as `run`) that returns nothing.
 * @param pages size of the memory in pages of 64 KiB
 * @param parameters number of 32-bit integer parameters (locals 0 …)
 * @param vectors number of 128-bit locals (numbered after the parameters and the integers)
 * @param integers number of further 32-bit integer locals (numbered after the parameters)
 */
export function wasmModule(
  pages: number,
  parameters: number,
  vectors: number,
  body: Code,
  integers = 0,
): Uint8Array<ArrayBuffer> {
  const text = (name: string): number[] => [name.length, ...new TextEncoder().encode(name)];
  const section = (id: number, content: number[]): number[] => [id, ...unsigned(content.length), ...content];
  const code = [2, ...unsigned(integers), I32, ...unsigned(vectors), V128, ...body, 0x0b];
  return Uint8Array.from([
    ...[0x00, 0x61, 0x73, 0x6d, 0x01, 0x00, 0x00, 0x00],
    ...section(1, [1, 0x60, ...unsigned(parameters), ...Array<number>(parameters).fill(I32), 0]),
    ...section(3, [1, 0]),
    ...section(5, [1, 0x00, ...unsigned(pages)]),
    ...section(7, [2, ...text('memory'), 0x02, 0, ...text('run'), 0x00, 0]),
    ...section(10, [1, ...unsigned(code.length), ...code]),
  ]);
}
