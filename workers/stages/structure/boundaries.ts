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

/** Novelty that a boundary needs: little where phrases start, more elsewhere (estimates). */
const NEED_PHRASE = 0.12;
const NEED_HALF_PHRASE = 0.2;
const NEED_BAR = 0.45;
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

  let edges = [0, count];
  for (;;) {
    let best: { cell: number; gain: number } | null = null;
    for (let section = 0; section + 1 < edges.length; section++) {
      const [from, to] = [edges[section], edges[section + 1]];
      for (let cell = from + least; cell <= to - least; cell++) {
        const gain = similarity.novelty(from, cell, to) - need(cell);
        if (gain > (best?.gain ?? 0)) best = { cell, gain };
      }
    }
    if (!best) break;
    edges = [...edges, best.cell].sort((a, b) => a - b);
  }

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
