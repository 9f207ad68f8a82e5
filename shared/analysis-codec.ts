/**
 * A track's analysis as bytes, for files beside the demo tracks and for exports.
 *
 * Layout, all numbers little-endian:
 * ```
 *  0  4 bytes  "BPTA"
 *  4  uint32   version of this layout
 *  8  uint32   CRC-32 of everything from byte 16 on
 * 12  uint32   length of the header in bytes, a multiple of 8
 * 16  header   the analysis as JSON (UTF-8, padded with spaces); a typed array in it is { "$floats": [start, length] },
 *              start counted in floats from the end of the header; a number that JSON lacks is { "$number": "-Infinity" }
 *     floats   32-bit floats of all arrays, one after the other
 * ```
 */
import { ANALYSIS_VERSION, type TrackAnalysis } from './analysis.ts';
import { LAYERS } from './bands.ts';
import { crc32 } from './crc32.ts';

const MAGIC = 'BPTA';
const LAYOUT_VERSION = 1;
const PREFIX_BYTES = 16;
const CHECKED_FROM = 16;
const ALIGNMENT = 8;
const FLOAT_BYTES = 4;

const FLOATS = '$floats';
const NUMBER = '$number';

/** An analysis as text, and the bytes of the arrays that the text points into, one after the other. */
export interface AnalysisParts {
  json: string;
  /** Little-endian; views of the analysis's own arrays where the machine has that order itself. */
  floats: Uint8Array<ArrayBuffer>[];
}

/** Takes an analysis apart without copying its arrays; `analysisFromParts` puts it together again. */
export function analysisParts(analysis: TrackAnalysis): AnalysisParts {
  const floats: Uint8Array<ArrayBuffer>[] = [];
  let count = 0;
  const json = JSON.stringify(analysis, (_key, value: unknown) => {
    if (value instanceof Float32Array) {
      floats.push(littleEndianBytes(value as Float32Array<ArrayBuffer>));
      count += value.length;
      return { [FLOATS]: [count - value.length, value.length] };
    }
    if (ArrayBuffer.isView(value)) throw new TypeError('Only 32-bit float arrays can be stored.');
    if (typeof value === 'number' && (!Number.isFinite(value) || Object.is(value, -0)))
      return { [NUMBER]: Object.is(value, -0) ? '-0' : String(value) };
    return value;
  });
  return { json, floats };
}

/**
 * The analysis that `analysisParts` took apart.
 * @param floats all of its bytes, one array after the other
 * @throws RangeError or SyntaxError when the parts do not belong together
 */
export function analysisFromParts(json: string, floats: Uint8Array): TrackAnalysis {
  return JSON.parse(json, (_key, value: unknown) => revive(value, floats, 0)) as TrackAnalysis;
}

/** Bytes of an analysis; `decodeAnalysis` gives back an equal one. */
export function encodeAnalysis(analysis: TrackAnalysis): Uint8Array<ArrayBuffer> {
  const { json, floats } = analysisParts(analysis);
  const floatBytes = floats.reduce((sum, { length }) => sum + length, 0);
  const text = new TextEncoder().encode(json);
  const headerBytes = Math.ceil(text.length / ALIGNMENT) * ALIGNMENT;
  const bytes = new Uint8Array(PREFIX_BYTES + headerBytes + floatBytes);
  bytes.set(new TextEncoder().encode(MAGIC), 0);
  bytes.fill(0x20, PREFIX_BYTES, PREFIX_BYTES + headerBytes);
  bytes.set(text, PREFIX_BYTES);
  let place = PREFIX_BYTES + headerBytes;
  for (const array of floats) {
    bytes.set(array, place);
    place += array.length;
  }
  const view = new DataView(bytes.buffer);
  view.setUint32(4, LAYOUT_VERSION, true);
  view.setUint32(8, crc32(bytes.subarray(CHECKED_FROM)), true);
  view.setUint32(12, headerBytes, true);
  return bytes;
}

/**
 * Reads what `encodeAnalysis` wrote.
 * @throws Error with a plain sentence when the bytes are something else, damaged, or of another version
 */
export function decodeAnalysis(bytes: Uint8Array): TrackAnalysis {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < PREFIX_BYTES || new TextDecoder().decode(bytes.subarray(0, 4)) !== MAGIC)
    throw new Error('This is not a stored analysis.');
  const version = view.getUint32(4, true);
  if (version !== LAYOUT_VERSION)
    throw new Error(
      `This stored analysis has layout ${version}, which cannot be read. Analyse the track again.`,
    );
  const damaged = new Error('This stored analysis is damaged. Analyse the track again.');
  if (view.getUint32(8, true) !== crc32(bytes.subarray(CHECKED_FROM))) throw damaged;
  const floatsFrom = PREFIX_BYTES + view.getUint32(12, true);
  if (floatsFrom > bytes.length || (bytes.length - floatsFrom) % FLOAT_BYTES !== 0) throw damaged;
  let analysis: unknown;
  try {
    analysis = JSON.parse(
      new TextDecoder('utf-8', { fatal: true }).decode(bytes.subarray(PREFIX_BYTES, floatsFrom)),
      (_key, value: unknown) => revive(value, bytes, floatsFrom),
    );
  } catch (cause) {
    throw new Error(damaged.message, { cause });
  }
  if (!isRecord(analysis)) throw damaged;
  if (analysis.version !== ANALYSIS_VERSION)
    throw new Error(
      `This stored analysis is of version ${String(analysis.version)}, not ${ANALYSIS_VERSION}. Analyse the track again.`,
    );
  if (!hasPyramid(analysis)) throw damaged;
  return analysis as unknown as TrackAnalysis;
}

function revive(value: unknown, bytes: Uint8Array, floatsFrom: number): unknown {
  if (!isRecord(value)) return value;
  if (NUMBER in value) return Number(value[NUMBER]);
  if (!(FLOATS in value)) return value;
  const [start, length] = value[FLOATS] as [number, number];
  const from = floatsFrom + start * FLOAT_BYTES;
  if (!(start >= 0 && length >= 0 && from + length * FLOAT_BYTES <= bytes.length))
    throw new RangeError('An array reaches past the end.');
  // A copy of its own, so that each array can be transferred and the file's bytes let go.
  const copy = bytes.slice(from, from + length * FLOAT_BYTES);
  return new Float32Array(littleEndianBytes(copy).buffer);
}

/** The bytes of `array` in little-endian order; the other way round on reading, which is the same swap. */
function littleEndianBytes(
  array: Float32Array<ArrayBuffer> | Uint8Array<ArrayBuffer>,
): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(array.buffer, array.byteOffset, array.byteLength);
  if (HOST_IS_LITTLE_ENDIAN) return bytes;
  const swapped = bytes.slice();
  for (let i = 0; i < swapped.length; i += FLOAT_BYTES) swapped.subarray(i, i + FLOAT_BYTES).reverse();
  return swapped;
}

const HOST_IS_LITTLE_ENDIAN = new Uint8Array(new Uint32Array([1]).buffer)[0] === 1;

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null;
}

/** Whoever paints trusts the lengths of the arrays, so they are checked here. */
function hasPyramid(analysis: Record<string, unknown>): boolean {
  const { pyramid, grid, sections } = analysis as Partial<TrackAnalysis>;
  if (!isRecord(grid) || !Array.isArray(grid.segments) || !Array.isArray(sections)) return false;
  return (
    isRecord(pyramid) &&
    Array.isArray(pyramid.levels) &&
    pyramid.levels.every(({ hop, length, peak, rms }) =>
      [peak, rms].every(
        (layers) =>
          hop > 0 &&
          layers?.length === LAYERS.length &&
          layers.every((values) => values instanceof Float32Array && values.length === length),
      ),
    )
  );
}
