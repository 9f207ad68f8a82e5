/** The loops of the heights of columns: two columns at a time, and four fine columns of each at once. */
import { LANES, VECTOR_BYTES, FLOAT_BYTES, pagesFor } from '../simd/vectors.ts';
import {
  type Code,
  add,
  addI32,
  allIntegers,
  andBits,
  both,
  countDown,
  div,
  evenFloats,
  floor,
  fourIntegers,
  fromIntegers,
  get,
  greater,
  greaterIntegers,
  i32,
  inAll,
  innerLanes,
  lane,
  largerI32,
  largerIntegers,
  load,
  loadBoth,
  loadHalf,
  loadI32,
  lowerLanes,
  mul,
  rounded,
  set,
  shiftLeftI32,
  shiftRightI32,
  smaller,
  sqrt,
  store,
  storeHalf,
  sub,
  subIntegers,
  swapped,
  truncated,
  upperLanes,
  wasmModule,
  whenNotZero,
  widened,
} from '../simd/wasm-writer.ts';
import { PEAK_SHARE, RMS_SHARE, TABLE_SIZE } from './heights.ts';
import { SLACK } from './source.ts';

/** Most columns, and most fine columns, of one run: all that it reads and writes stays in the nearest cache. */
export const MOST_COLUMNS = 1024;
export const MOST_FINE = 4096;
/** Tables of heights that there is room for. */
export const TABLES = 8;

const DOUBLE_BYTES = Float64Array.BYTES_PER_ELEMENT;
const HALF_BYTES = Uint16Array.BYTES_PER_ELEMENT;
const wholeVectors = (bytes: number): number => Math.ceil(bytes / VECTOR_BYTES) * VECTOR_BYTES;

/** What the loops leave for each other, per two columns. */
const [SPANS, POWERS, TOPS] = [0, VECTOR_BYTES, 2 * VECTOR_BYTES];
const BETWEEN_BYTES = 3 * VECTOR_BYTES;

/** Bytes of one table. */
export const TABLE_BYTES = wholeVectors((TABLE_SIZE + 1) * HALF_BYTES);
const FINE_BYTES = MOST_FINE * FLOAT_BYTES;

/** The settings are 64-bit floats, in this order. */
export const [RATIO, END, BEFORE, FIRST, INPUT] = [0, 1, 2, 3, 4];
export const SETTINGS = 5;

/** Addresses. */
export const SETTINGS_AT = 0;
export const TABLES_AT = SETTINGS_AT + wholeVectors(SETTINGS * DOUBLE_BYTES);
export const HEIGHTS_AT = TABLES_AT + TABLES * TABLE_BYTES;
const BETWEEN_AT = HEIGHTS_AT + MOST_COLUMNS * HALF_BYTES;
export const PEAK_AT = BETWEEN_AT + (MOST_COLUMNS / 2) * BETWEEN_BYTES;
export const RMS_AT = PEAK_AT + FINE_BYTES;
const BYTES = RMS_AT + FINE_BYTES;

/**
 * A whole number from −2³¹ to 2³¹ − 1 added to this stands in the lower half of the sum's bits (IEEE 754, double
 * precision: from 2⁵² to 2⁵³ the last bit counts ones). Quicker than turning it into an integer.
 */
export const TO_INTEGER = 2 ** 52 + 2 ** 51;

const PARAMETERS = 2;
const [PAIRS, TABLE] = [0, 1];
const INTEGERS = 5;
const [COUNTER, CURSOR, A, B, TURNS] = [2, 3, 4, 5, 6];

/**
 * Module whose `run(pairs, table)` writes the heights of `pairs` (at least 1, at most MOST_COLUMNS / 2) times two
 * columns to HEIGHTS_AT: what `plainHeights` gives, to the last bit, as the powers of a column are added in its order.
 * `table` is the address of the table of heights. Peaks and RMS of the fine columns lie at PEAK_AT and RMS_AT, up to
 * number END, which is left out; INPUT is the address of what would be the peak of number 0, plus TO_INTEGER.
 * BEFORE is the number of the column before the first, FIRST that of the first. What lies behind the fine columns is
 * read too, as far as the last column may be long, but changes nothing.
 *
 * Three loops, one after the other: each has a chain of dependent steps short enough that the processor works at
 * several columns at once.
 */
export function heightsProgram(): Uint8Array<ArrayBuffer> {
  let vectors = 0;
  const locals = (count: number) => Array.from({ length: count }, () => PARAMETERS + INTEGERS + vectors++);
  const [ratio, end, input, slack, one, two, peakBytes, toInteger, lanes] = locals(9);
  const [columns, first, edge, next, past] = locals(5);
  const [leftA, leftB, maskA, maskB, topA, topB, rmsA, rmsB, rms, power, level] = locals(11);

  const setting = (index: number) => loadBoth(i32(SETTINGS_AT), index * DOUBLE_BYTES);
  const eachPair = (body: Code): Code => [
    ...set(COUNTER, get(PAIRS)),
    ...set(CURSOR, i32(BETWEEN_AT)),
    ...countDown(COUNTER, 1, [...body, ...set(CURSOR, addI32(get(CURSOR), i32(BETWEEN_BYTES)))]),
  ];

  /** The fine column in which each right edge lies: the first of the column after. */
  const findNext: Code = [
    ...set(edge, mul(get(columns), get(ratio))),
    ...set(next, floor(add(get(edge), get(slack)))),
  ];
  /** To SPANS: how many fine columns the two have, and the addresses of their first peaks. */
  const findSpans: Code = [
    ...set(first, get(next)),
    ...set(columns, add(get(columns), get(two))),
    ...findNext,
    ...set(first, smaller(innerLanes(get(first), get(next)), get(end))),
    ...set(past, add(get(next), andBits(greater(sub(get(edge), get(next)), get(slack)), get(one)))),
    ...set(past, smaller(get(past), get(end))),
    ...store(
      get(CURSOR),
      SPANS,
      evenFloats(
        add(sub(get(past), get(first)), get(toInteger)),
        add(mul(get(first), get(peakBytes)), get(input)),
      ),
    ),
  ];

  /** Adds the powers of two fine columns of each column, that of `A` in lane 0, that of `B` in lane 1. */
  const growBy = (interleaved: Code): Code => {
    const square = mul(get(level), get(level));
    return [
      ...set(rms, interleaved),
      ...set(level, widened(get(rms))),
      ...set(power, add(get(power), square)),
      ...set(level, widened(swapped(rms))),
      ...set(power, add(get(power), square)),
    ];
  };
  const measureFour: Code = [
    // What does not belong to the column counts as 0.
    ...set(maskA, greaterIntegers(get(leftA), get(lanes))),
    ...set(maskB, greaterIntegers(get(leftB), get(lanes))),
    ...set(topA, largerIntegers(get(topA), andBits(get(maskA), load(get(A), 0)))),
    ...set(topB, largerIntegers(get(topB), andBits(get(maskB), load(get(B), 0)))),
    ...set(rmsA, andBits(get(maskA), load(get(A), RMS_AT - PEAK_AT))),
    ...set(rmsB, andBits(get(maskB), load(get(B), RMS_AT - PEAK_AT))),
    ...growBy(lowerLanes(get(rmsA), get(rmsB))),
    ...growBy(upperLanes(get(rmsA), get(rmsB))),
    ...set(leftA, subIntegers(get(leftA), allIntegers(LANES))),
    ...set(leftB, subIntegers(get(leftB), allIntegers(LANES))),
    ...set(A, addI32(get(A), i32(VECTOR_BYTES))),
    ...set(B, addI32(get(B), i32(VECTOR_BYTES))),
  ];
  /** To POWERS: the sums of the powers. To TOPS: the largest peaks, in lanes 0 and 1 of four. */
  const measure: Code = [
    ...set(A, loadI32(get(CURSOR), SPANS)),
    ...set(B, loadI32(get(CURSOR), SPANS + FLOAT_BYTES)),
    ...set(leftA, inAll(get(A))),
    ...set(leftB, inAll(get(B))),
    ...set(TURNS, shiftRightI32(addI32(largerI32(get(A), get(B)), i32(LANES - 1)), i32(Math.log2(LANES)))),
    ...set(A, loadI32(get(CURSOR), SPANS + 2 * FLOAT_BYTES)),
    ...set(B, loadI32(get(CURSOR), SPANS + 3 * FLOAT_BYTES)),
    ...set(topA, allIntegers(0)),
    ...set(topB, allIntegers(0)),
    ...set(power, both(0)),
    ...whenNotZero(get(TURNS), countDown(TURNS, 1, measureFour)),
    ...set(topA, largerIntegers(lowerLanes(get(topA), get(topB)), upperLanes(get(topA), get(topB)))),
    ...store(get(CURSOR), TOPS, largerIntegers(get(topA), swapped(topA))),
    ...store(get(CURSOR), POWERS, get(power)),
  ];

  const lookUp = (column: number): Code =>
    storeHalf(
      get(A),
      column * HALF_BYTES,
      loadHalf(addI32(get(TABLE), shiftLeftI32(lane(get(level), column), i32(Math.log2(HALF_BYTES)))), 0),
    );
  /** As `levelOf` does it; of a column with no fine columns nothing is a number, which is cut to level 0. */
  const lookUpHeights: Code = [
    ...set(level, div(load(get(CURSOR), POWERS), fromIntegers(load(get(CURSOR), SPANS)))),
    ...set(level, mul(both(RMS_SHARE), widened(rounded(sqrt(get(level)))))),
    ...set(level, add(mul(both(PEAK_SHARE), widened(load(get(CURSOR), TOPS))), get(level))),
    ...set(level, add(mul(get(level), both(TABLE_SIZE)), both(0.5))),
    ...set(level, truncated(smaller(get(level), both(TABLE_SIZE)))),
    ...lookUp(0),
    ...lookUp(1),
    ...set(A, addI32(get(A), i32(2 * HALF_BYTES))),
  ];

  return wasmModule(
    pagesFor(BYTES),
    PARAMETERS,
    vectors,
    [
      ...set(ratio, setting(RATIO)),
      ...set(end, setting(END)),
      ...set(input, setting(INPUT)),
      ...set(columns, load(i32(SETTINGS_AT), BEFORE * DOUBLE_BYTES)),
      ...set(slack, both(SLACK)),
      ...set(one, both(1)),
      ...set(two, both(2)),
      ...set(peakBytes, both(FLOAT_BYTES)),
      ...set(toInteger, both(TO_INTEGER)),
      ...set(lanes, fourIntegers([0, 1, 2, 3])),
      ...findNext,
      ...eachPair(findSpans),
      ...eachPair(measure),
      ...set(A, i32(HEIGHTS_AT)),
      ...eachPair(lookUpHeights),
    ],
    INTEGERS,
  );
}
