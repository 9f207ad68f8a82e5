/** How do you get to a track in this list? The presses are those of the list that hands practise on. */
import { firstOfList, type ListPress, listed, reduceList } from '../../behaviour/drills/list-model.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import { below, pick } from '../random.ts';
import type { Random } from '../types.ts';
import type { MadeQuestion } from './files.ts';
import { inFull, inOrder, pictureOf, rowOf, showsTempo } from './list.ts';
import { type ListedTrack, type ListWay, PRACTICE_ID, WAYS } from './types.ts';
import { waySentences } from './words.ts';

/** The best way is asked for where it is better by so many presses, if there is such a track. Estimate. */
const MARGIN = 2;
const TRIES = 60;
/** Share of the questions about a track within two screens of the list's start, where the knob may be quickest. */
const NEAR_SHARE = 0.4;
const NEAR_SCREENS = 2;
/** Presses that open the filter and set it. Estimate. */
const FILTER_PRESSES = 2;

/** Presses to a track whose title is known, loading it included; only ways that the deck has. */
export function pressesTo(
  at: number,
  titles: readonly string[],
  deck: DeckProfile,
): Partial<Record<ListWay, number>> {
  const LOAD = 1;
  /** By the knob; where the screen takes touch, a touch on the row or on the one nearest to it comes first. */
  const toRow = (cursor: number, top: number, row: number): number => {
    const turns = Math.abs(row - cursor);
    if (!deck.screen.touch) return turns;
    const last = Math.min(top + deck.list.rows, titles.length) - 1;
    return Math.min(turns, 1 + Math.max(0, top - row, row - last));
  };
  const after = (press: ListPress) => reduceList(firstOfList, press, titles, deck);
  const ways: Partial<Record<ListWay, number>> = { knob: toRow(0, 0, at) + LOAD };
  if (deck.list.letterStrip) {
    // From the letter after it it may be fewer steps back.
    const letters = new Set(titles.map((title) => title[0].toUpperCase()));
    const turns = [...letters].map((letter) => {
      const { cursor, top } = after({ kind: 'letter', letter });
      return toRow(cursor, top, at);
    });
    ways.letter = 1 + Math.min(...turns) + LOAD;
  }
  if (deck.list.textSearch) {
    const letters = [...titles[at].toUpperCase()];
    ways.search = Math.min(
      ...letters.map((_, i) => {
        const query = letters.slice(0, i + 1).join('');
        const found = listed(titles, { ...firstOfList, query });
        return 1 + (i + 1) + toRow(0, 0, found.indexOf(titles[at])) + LOAD;
      }),
    );
  }
  return ways;
}

/** The way that a deck has to some track of a tempo whose title is not known. */
export const wayToTempo = (deck: DeckProfile): ListWay =>
  deck.list.trackFilter ? 'filter' : showsTempo(deck) ? 'knob' : 'ahead';

/** Half of the questions know the title, half only the tempo. */
export function wayToRow(
  deck: DeckProfile,
  tracks: readonly ListedTrack[],
  random: Random,
): MadeQuestion | null {
  const order = inOrder(tracks);
  const titles = order.map(({ title }) => title);
  const made = (at: number, index: ListWay, byName: boolean, presses: Partial<Record<ListWay, number>>) => {
    const row = rowOf(order[at]);
    return {
      shown: {
        own: order[at].id !== PRACTICE_ID,
        drill: 'way-to-row' as const,
        list: pictureOf(order, 0, deck.list.rows, deck),
        wanted: byName
          ? { by: 'title' as const, title: row.title, artist: row.artist }
          : { by: 'tempo' as const, tempo: Number(row.tempo) },
      },
      answers: WAYS.length,
      index: WAYS.indexOf(index),
      trackId: order[at].id,
      explanation: { sentences: waySentences(index, presses, byName, deck), rows: inFull([order[at]], 0) },
    };
  };
  const named = (reach: number, margin: number) => {
    for (let i = 0; i < TRIES; i++) {
      const at = below(random, reach);
      // A title that another track has too is found by no way of its own.
      if (titles.indexOf(titles[at]) !== titles.lastIndexOf(titles[at])) continue;
      const ways = pressesTo(at, titles, deck);
      const [best, next] = (Object.entries(ways) as [ListWay, number][]).sort((a, b) => a[1] - b[1]);
      if (!next || next[1] - best[1] >= margin) return made(at, best[0], true, ways);
    }
    return null;
  };
  const unnamed = () => {
    const tempi = order.flatMap((track, at) => (rowOf(track).tempo ? [at] : []));
    const at = pick(random, tempi);
    if (at === undefined) return null;
    const way = wayToTempo(deck);
    return made(at, way, false, way === 'filter' ? { filter: FILTER_PRESSES } : {});
  };
  const near = Math.min(order.length, NEAR_SCREENS * deck.list.rows);
  const byName = () =>
    (random() < NEAR_SHARE ? named(near, MARGIN) : null) ??
    named(order.length, MARGIN) ??
    named(order.length, 1);
  return random() < 0.5 ? (byName() ?? unnamed()) : (unnamed() ?? byName());
}
