/** One FLAC frame to samples. RFC 9639 sections 9.2 and 9.3. All sums are exact: they stay below 2^53. */
import type { BitReader } from '../bit-reader.ts';
import type { FrameHeader, StreamInfo } from './header.ts';

const LEFT_SIDE = 8;
const SIDE_RIGHT = 9;
const MID_SIDE = 10;
/** Predictor coefficients of the fixed predictors, newest sample first (RFC 9639 section 9.2.5). */
const FIXED = [[], [1], [2, -1], [3, -3, 1], [4, -6, 4, -1]];

class BadFrame extends Error {}

function residual(r: BitReader, out: Float64Array, blockSize: number, order: number): void {
  const method = r.small(2);
  if (method > 1) throw new BadFrame('residual coding method');
  const parameterBits = method === 0 ? 4 : 5;
  const escape = method === 0 ? 15 : 31;
  const partitionOrder = r.small(4);
  const partitions = 1 << partitionOrder;
  const perPartition = blockSize >> partitionOrder;
  if (perPartition << partitionOrder !== blockSize || perPartition < order) throw new BadFrame('partitions');
  let i = order;
  for (let p = 0; p < partitions; p++) {
    const end = (p + 1) * perPartition;
    const parameter = r.small(parameterBits);
    if (parameter === escape) {
      const width = r.small(5);
      for (; i < end; i++) out[i] = r.signed(width);
    } else if (parameter <= 24) {
      for (; i < end; i++) {
        const folded = (r.unary() * 2 ** parameter + r.small(parameter)) >>> 0;
        out[i] = (folded >>> 1) ^ -(folded & 1);
      }
    } else {
      for (; i < end; i++) {
        const folded = (r.unary() * 2 ** parameter + r.bits(parameter)) >>> 0;
        out[i] = (folded >>> 1) ^ -(folded & 1);
      }
    }
    if (r.overrun) throw new BadFrame('end of data');
  }
}

/** Adds the prediction from the `order` samples before each sample; `out` holds warm-up samples, then residual. */
function predict(out: Float64Array, blockSize: number, coefficients: ArrayLike<number>, shift: number): void {
  const order = coefficients.length;
  const scale = 2 ** -shift;
  for (let i = order; i < blockSize; i++) {
    let sum = 0;
    for (let k = 0, j = i - 1; k < order; k++, j--) sum += coefficients[k] * out[j];
    out[i] += Math.floor(sum * scale);
  }
}

function subframe(r: BitReader, out: Float64Array, blockSize: number, frameBits: number): void {
  if (r.small(1) !== 0) throw new BadFrame('subframe padding');
  const type = r.small(6);
  const wasted = r.small(1) === 1 ? r.unary() + 1 : 0;
  const bits = frameBits - wasted;
  if (bits < 1) throw new BadFrame('wasted bits');
  if (type === 0) out.fill(r.signed(bits), 0, blockSize);
  else if (type === 1) for (let i = 0; i < blockSize; i++) out[i] = r.signed(bits);
  else if (type >= 8 && type <= 12) {
    const order = type - 8;
    if (order > blockSize) throw new BadFrame('order');
    for (let i = 0; i < order; i++) out[i] = r.signed(bits);
    residual(r, out, blockSize, order);
    if (order > 0) predict(out, blockSize, FIXED[order], 0);
  } else if (type >= 32) {
    const order = type - 31;
    if (order > blockSize) throw new BadFrame('order');
    for (let i = 0; i < order; i++) out[i] = r.signed(bits);
    const precision = r.small(4) + 1;
    if (precision === 16) throw new BadFrame('precision');
    const shift = r.signed(5);
    if (shift < 0) throw new BadFrame('shift');
    const coefficients = new Float64Array(order);
    for (let k = 0; k < order; k++) coefficients[k] = r.signed(precision);
    residual(r, out, blockSize, order);
    predict(out, blockSize, coefficients, shift);
  } else throw new BadFrame('subframe type');
  if (wasted > 0) {
    const scale = 2 ** wasted;
    for (let i = 0; i < blockSize; i++) out[i] *= scale;
  }
}

/**
 * Decodes the subframes that follow a frame header.
 * @param work one array per channel, at least `blockSize` long; holds the integer samples afterwards
 * @throws any Error when the data are not a frame
 */
export function decodeSubframes(
  r: BitReader,
  header: FrameHeader,
  info: StreamInfo,
  work: Float64Array[],
): void {
  const { assignment, blockSize } = header;
  for (let c = 0; c < info.channels; c++) {
    const isSide =
      (assignment === LEFT_SIDE && c === 1) ||
      (assignment === SIDE_RIGHT && c === 0) ||
      (assignment === MID_SIDE && c === 1);
    subframe(r, work[c], blockSize, info.bits + (isSide ? 1 : 0));
    if (r.overrun) throw new BadFrame('end of data');
  }
  const [a, b] = work;
  if (assignment === LEFT_SIDE) for (let i = 0; i < blockSize; i++) b[i] = a[i] - b[i];
  else if (assignment === SIDE_RIGHT) for (let i = 0; i < blockSize; i++) a[i] += b[i];
  else if (assignment === MID_SIDE) {
    for (let i = 0; i < blockSize; i++) {
      const side = b[i];
      // The bit that halving lost in the mid channel is the lowest one of the side channel.
      const middle = a[i] * 2 + Math.abs(side % 2);
      a[i] = (middle + side) / 2;
      b[i] = (middle - side) / 2;
    }
  }
}
