/** Heights of columns without vector instructions. */
import { heightTable, levelOf } from './heights.ts';
import { levelLayer, type Resolution } from './resolution.ts';
import { firstFine, pastFine, rootMean, type Source } from './source.ts';

/** A level, and its bits. */
const float = new Float32Array(1);
const bits = new Int32Array(float.buffer);

/**
 * Heights of one of a display's layers in columns `from` to `to - 1`, written there into `heights`: what `readPyramid`
 * gives. Levels are rounded to single precision as they are there, and the powers of a column are added in their order.
 * A column reaches from the fine column that its left edge lies in (`first`) to the one before `past`, in which its
 * right edge does.
 *
 * Peaks are compared by their bits, whose order is that of the numbers where none is negative: so the processor has
 * no branch to guess, which in music it guesses badly.
 * @param heights 0 where no column has been made; those past the end of the track stay so
 */
export function plainHeights(
  { level, ratio }: Source,
  { kind, heightSteps }: Resolution,
  layer: number,
  from: number,
  to: number,
  heights: Uint16Array,
): void {
  const at = levelLayer(kind, layer);
  const rms = level.rms[at];
  const peak = new Int32Array(level.peak[at].buffer, level.peak[at].byteOffset, level.length);
  const table = heightTable(heightSteps);
  const end = level.length;
  for (let column = from; column < to; column++) {
    const first = firstFine(column, ratio);
    const past = Math.min(end, pastFine(column, ratio));
    if (past <= first) continue;
    let top = 0;
    let power = 0;
    let i = first;
    for (; i + 4 <= past; i += 4) {
      const r0 = rms[i];
      const r1 = rms[i + 1];
      const r2 = rms[i + 2];
      const r3 = rms[i + 3];
      power = power + r0 * r0 + r1 * r1 + r2 * r2 + r3 * r3;
      const left = larger(peak[i], peak[i + 1]);
      const right = larger(peak[i + 2], peak[i + 3]);
      top = larger(top, larger(left, right));
    }
    for (; i < past; i++) {
      top = larger(top, peak[i]);
      power += rms[i] * rms[i];
    }
    bits[0] = top;
    heights[column] = table[levelOf(float[0], rootMean(power, past - first))];
  }
}

/** The larger of two numbers from 0 to 2³¹ − 1, without a branch. */
function larger(a: number, b: number): number {
  const difference = (a - b) | 0;
  return (a - (difference & (difference >> 31))) | 0;
}
