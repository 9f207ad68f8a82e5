/** Which tracks of the library are listed: what was typed, and what is wished to be seen. */
import { type TrackRecord, titleOf } from './records.ts';
import { gridDoubt } from './sureness.ts';

export const SHOWN = ['all', 'unsure', 'silent', 'partial', 'by-hand'] as const;
/** `silent`: its audio is not here; `by-hand`: its grid was corrected. */
export type Shown = (typeof SHOWN)[number];

export const ORDERS = ['mine', 'title', 'artist', 'tempo', 'newest'] as const;
export type Order = (typeof ORDERS)[number];

/** From so many tracks on there is something to search. */
export const WORTH_SEARCHING = 8;

export interface Wish {
  /** Words, all of which must be found somewhere in the track's facts. */
  query: string;
  shown: Shown;
  order: Order;
}

/** Small letters without accents: who types “otto” finds “Ötto”. */
const folded = (text: string) =>
  text
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase();

function factsOf({ name, tags, summary }: TrackRecord): string {
  const { artist, album, genre, year } = tags;
  const tempo = summary.tempo === null ? null : summary.tempo.toFixed(summary.tempo % 1 ? 2 : 0);
  return folded(
    [tags.title, artist, album, genre, year, name, tempo, summary.key?.name].filter(Boolean).join('\n'),
  );
}

/** The facts of a track as they are searched, made once for each record. */
const facts = new WeakMap<TrackRecord, string>();

function known(track: TrackRecord): string {
  let text = facts.get(track);
  if (text === undefined) facts.set(track, (text = factsOf(track)));
  return text;
}

const collator = new Intl.Collator(undefined, { numeric: true, sensitivity: 'base' });

const BY: Record<Exclude<Order, 'mine'>, (a: TrackRecord, b: TrackRecord) => number> = {
  title: (a, b) => collator.compare(titleOf(a), titleOf(b)),
  artist: (a, b) => collator.compare(a.tags.artist ?? '', b.tags.artist ?? '') || BY.title(a, b),
  // Tracks without a tempo at the end.
  tempo: (a, b) => (a.summary.tempo ?? Infinity) - (b.summary.tempo ?? Infinity) || BY.title(a, b),
  newest: (a, b) => b.addedAt - a.addedAt,
};

/**
 * @param tracks in the order of the library
 * @param hasAudio whether a track can be played without asking for its file
 */
export function findTracks(
  tracks: readonly TrackRecord[],
  { query, shown, order }: Wish,
  hasAudio: (track: TrackRecord) => boolean,
): readonly TrackRecord[] {
  const words = folded(query).split(/\s+/).filter(Boolean);
  const wanted = (track: TrackRecord) => {
    if (shown === 'unsure' && gridDoubt(track.summary) === null) return false;
    if (shown === 'silent' && hasAudio(track)) return false;
    if (shown === 'partial' && !track.partial) return false;
    if (shown === 'by-hand' && !track.summary.gridByHand) return false;
    return words.every((word) => known(track).includes(word));
  };
  const found = words.length || shown !== 'all' ? tracks.filter(wanted) : tracks;
  return order === 'mine' ? found : [...found].sort(BY[order]);
}
