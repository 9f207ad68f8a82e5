/**
 * Which fine columns of a pyramid each column of a display touches: the same choice as in `readPyramid`, made once for
 * all layers. (`quantise.ts` reads the pyramid itself, since a long track has some 100 000 columns to quantise, of
 * which each kind needs other layers.)
 */
import type { Pyramid, PyramidLevel } from '../pyramid.ts';

export interface Spans {
  level: PyramidLevel;
  /** Fine columns, by column. */
  first: Int32Array;
  /** May lie past the level's end. */
  last: Int32Array;
  /** Columns that lie in the track: from `begin` on, before `end`. */
  begin: number;
  end: number;
}

/** Rounding of floats that is let pass, in fine columns. */
const SLACK = 1e-6;
/** Kept: tracks of one sample rate share them. Those of five long tracks on a few decks; the oldest goes first. */
const MOST_KEPT = 1024;

type Fine = Pick<Spans, 'first' | 'last'>;
const kept = new Map<string, Fine>();

/** @returns null where the pyramid has nothing. The arrays are shared: they must not be changed. */
export function spansOf(pyramid: Pyramid, startTime: number, width: number, count: number): Spans | null {
  const level = pyramid.levels.findLast((l) => l.hop * 2 <= width) ?? pyramid.levels[0];
  if (!level || level.length === 0) return null;
  let begin = 0;
  while (begin < count && startTime + begin * width + width <= 0) begin++;
  let end = count;
  while (end > begin && startTime + (end - 1) * width >= pyramid.duration) end--;
  return { level, ...fineOf(level.hop, startTime, width, count), begin, end };
}

function fineOf(hop: number, startTime: number, width: number, count: number): Fine {
  const key = `${hop} ${startTime} ${width} ${count}`;
  const known = kept.get(key);
  if (known) return known;
  const first = new Int32Array(count);
  const last = new Int32Array(count);
  for (let column = 0; column < count; column++) {
    const t0 = startTime + column * width;
    const from = Math.max(0, Math.floor(t0 / hop + SLACK));
    first[column] = from;
    last[column] = Math.max(from, Math.ceil((t0 + width) / hop - SLACK) - 1);
  }
  const made = { first, last };
  kept.set(key, made);
  if (kept.size > MOST_KEPT) kept.delete(kept.keys().next().value as string);
  return made;
}
