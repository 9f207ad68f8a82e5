/** Which bar lines are boundaries: the most novel first, phrase starts preferred, until nothing plain is left. */
import { type Cells, modulo, PHRASE_BARS } from './cells.ts';
import type { SelfSimilarity } from './novelty.ts';
import { REACH } from './novelty.ts';

export interface Boundary {
  /** Index of the cell that starts here. */
  cell: number;
  /** See SelfSimilarity.novelty. */
  novelty: number;
}

/** The best place to divide the section [from, to), or cell −1 when there is none. */
interface Cut {
  from: number;
  to: number;
  cell: number;
  gain: number;
}

/** Novelty that a boundary needs: little where phrases start, more elsewhere (estimates). */
const NEED_PHRASE = 0.15;
const NEED_HALF_PHRASE = 0.4;
const NEED_BAR = 0.6;
/** Without bars, or without a known phrase, every place is alike. */
const NEED_PLAIN = 0.3;
const NEED_UNPHRASED = 0.2;
/** Cells that a section has at least: half a phrase, or 12 s without a grid. */
const LEAST_BARS = 4;
const LEAST_PLAIN = 6;
/** Novelty from which a bar line has a say in where phrases start. */
const VOTES_FROM = 0.15;
/** Share of the votes that the winning phrase offset needs. */
const VOTES_NEEDED = 0.4;

export function chooseBoundaries(similarity: SelfSimilarity, cells: Cells): Boundary[] {
  const count = cells.starts.length;
  const least = cells.bars ? LEAST_BARS : LEAST_PLAIN;
  const offset = cells.bars ? (cells.phraseOffset ?? votedOffset(similarity, count)) : null;
  const need = (cell: number) => {
    if (!cells.bars) return NEED_PLAIN;
    if (offset === null) return NEED_UNPHRASED;
    const place = modulo(cell - offset, PHRASE_BARS);
    return place === 0 ? NEED_PHRASE : place === PHRASE_BARS / 2 ? NEED_HALF_PHRASE : NEED_BAR;
  };

  const bestWithin = (from: number, to: number): Cut => {
    let best: Cut = { from, to, cell: -1, gain: 0 };
    for (let cell = from + least; cell <= to - least; cell++) {
      const gain = similarity.novelty(from, cell, to) - need(cell);
      if (gain > best.gain) best = { from, to, cell, gain };
    }
    return best;
  };
  // Each cut only changes what is seen from within the section that it divides.
  let cuts = [bestWithin(0, count)];
  for (;;) {
    const best = cuts.reduce((a, b) => (b.gain > a.gain ? b : a));
    if (best.cell < 0) break;
    cuts = cuts.flatMap((cut) =>
      cut === best ? [bestWithin(cut.from, cut.cell), bestWithin(cut.cell, cut.to)] : [cut],
    );
  }
  let edges = [...cuts.map((cut) => cut.from), count];

  // The first cuts were made while their surroundings still held other boundaries: look at each again.
  for (;;) {
    const weak = edges
      .slice(1, -1)
      .map((cell, i) => ({ cell, gain: similarity.novelty(edges[i], cell, edges[i + 2]) - need(cell) }))
      .sort((a, b) => a.gain - b.gain)[0];
    if (!weak || weak.gain > 0) break;
    edges = edges.filter((cell) => cell !== weak.cell);
  }
  return edges
    .slice(1, -1)
    .map((cell, i) => ({ cell, novelty: similarity.novelty(edges[i], cell, edges[i + 2]) }));
}

/** The phrase offset that the most novel bar lines agree on, or null. */
function votedOffset(similarity: SelfSimilarity, count: number): number | null {
  const votes = new Array<number>(PHRASE_BARS).fill(0);
  let total = 0;
  const novelty = Array.from({ length: count }, (_, cell) =>
    similarity.novelty(Math.max(0, cell - REACH / 2), cell, Math.min(count, cell + REACH / 2)),
  );
  for (let cell = LEAST_BARS; cell <= count - LEAST_BARS; cell++) {
    const here = novelty[cell];
    if (here < VOTES_FROM || here < novelty[cell - 1] || here < novelty[cell + 1]) continue;
    votes[cell % PHRASE_BARS] += here;
    total += here;
  }
  const best = votes.indexOf(Math.max(...votes));
  return total > 0 && votes[best] >= VOTES_NEEDED * total ? best : null;
}
