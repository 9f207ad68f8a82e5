/** The track list of a deck as it is read: which row is it, or is it one that the list cannot tell? */
import { alikeOn, cellsShown, fieldsShown, type ListField, rowShown } from '../../gig/check/names.ts';
import { keysThatFit } from '../../keys.ts';
import { minutesOf } from '../../exchange/clock.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import { below, pick, shuffled } from '../random.ts';
import type { Random } from '../types.ts';
import type { MadeQuestion } from './files.ts';
import { type FullRow, type ListedTrack, type ListPicture, PRACTICE_ID, type Wanted } from './types.ts';
import { rowSentences } from './words.ts';

/** Of a smaller list more than one screen is shown, of a larger one a part. */
const LEAST_ROWS = 4;
const MOST_ROWS = 12;
/** Draws before another kind of question is taken. */
const TRIES = 60;

/** What a row holds, uncut. */
export const rowOf = (track: ListedTrack): Record<ListField, string> => ({
  title: track.title,
  artist: track.artist ?? '',
  tempo: track.tempo === null ? '' : String(Math.round(track.tempo)),
  key: track.key ?? '',
  length: minutesOf(Math.round(track.duration)),
});

/** By title as machines order them, so that titles that begin alike stand together. */
export const inOrder = (tracks: readonly ListedTrack[]): ListedTrack[] =>
  [...tracks].sort((a, b) => {
    const [x, y] = [a.title.toLowerCase(), b.title.toLowerCase()];
    return x < y ? -1 : x > y ? 1 : 0;
  });

/** Rows of the list from `first` on, as the deck shows them. @param playing key that plays, where the deck marks what fits */
export function pictureOf(
  tracks: readonly ListedTrack[],
  first: number,
  count: number,
  deck: DeckProfile,
  playing: string | null = null,
): ListPicture {
  const fitting = playing !== null && deck.list.keyMatch ? keysThatFit(playing) : [];
  return {
    fields: fieldsShown(deck),
    rows: tracks.slice(first, first + count).map((track) => ({
      cells: cellsShown(rowOf(track), deck),
      fits: track.key !== null && fitting.includes(track.key),
    })),
    perScreen: deck.list.rows,
    first: first + 1,
    of: tracks.length,
  };
}

/** Rows that a question shows on this deck. */
export const rowsAsked = ({ list }: DeckProfile): number =>
  Math.min(MOST_ROWS, Math.max(LEAST_ROWS, list.rows));

/** Whether the deck's list shows that. */
export const showsTempo = (deck: DeckProfile): boolean => fieldsShown(deck).includes('tempo');
export const showsFit = (deck: DeckProfile): boolean =>
  deck.list.keyMatch || fieldsShown(deck).includes('key');

interface Listed {
  tracks: readonly ListedTrack[];
  /** Each track's place, and the places of those that cannot be told from it by their names. */
  twins: ReadonlyMap<number, readonly number[]>;
}

/** The tracks in the order of the list, with those that look alike by the check's own rule. */
function listedOn(tracks: readonly ListedTrack[], deck: DeckProfile): Listed {
  const entries = tracks.map(({ title, artist }, at) => ({
    entryId: String(at),
    trackId: String(at),
    title,
    artist: artist ?? '',
  }));
  const twins = new Map<number, number[]>();
  for (const { entries: group } of alikeOn(entries, deck)) {
    const places = group.map(({ entryId }) => Number(entryId));
    for (const at of places)
      twins.set(
        at,
        places.filter((other) => other !== at),
      );
  }
  return { tracks, twins };
}

interface Found {
  wanted: Wanted;
  /** Place of the track that is meant in the whole list, and of the first row that is shown. */
  at: number;
  first: number;
  /** Index among the rows shown, or null: the list cannot tell. */
  row: number | null;
}

/** A window of rows with `at` in it, and `also`. */
function windowWith(at: number, also: number, count: number, of: number, random: Random): number {
  const [low, high] = [Math.min(at, also), Math.max(at, also)];
  const least = Math.max(0, high - count + 1);
  const most = Math.max(least, Math.min(low, of - count));
  return least + below(random, most - least + 1);
}

type Draw = (listed: Listed, deck: DeckProfile, random: Random) => Found | null;

const byTitle = ({ title, artist }: ListedTrack): Wanted => ({ by: 'title', title, artist: artist ?? '' });

/** A row that no other row looks like. */
const plainTitle: Draw = ({ tracks, twins }, deck, random) => {
  const at = below(random, tracks.length);
  if (twins.has(at) || !rowShown(rowOf(tracks[at]), deck).trim()) return null;
  const first = windowWith(at, at, rowsAsked(deck), tracks.length, random);
  return { wanted: byTitle(tracks[at]), at, first, row: at - first };
};

/** A row that looks like another one that is shown, all of it: nothing that the list shows tells them apart. */
const alikeTitle: Draw = ({ tracks, twins }, deck, random) => {
  const at = pick(random, [...twins.keys()]);
  if (at === undefined) return null;
  const cells = (place: number) => cellsShown(rowOf(tracks[place]), deck).join('\n').toLowerCase();
  const near = (twins.get(at) ?? []).filter(
    (other) => Math.abs(other - at) < rowsAsked(deck) && cells(other) === cells(at),
  );
  const other = pick(random, near);
  if (other === undefined) return null;
  const first = windowWith(at, other, rowsAsked(deck), tracks.length, random);
  return { wanted: byTitle(tracks[at]), at, first, row: null };
};

const tempo: Draw = ({ tracks }, deck, random) => {
  const at = below(random, tracks.length);
  const wanted = rowOf(tracks[at]).tempo;
  if (!wanted) return null;
  const count = rowsAsked(deck);
  const first = windowWith(at, at, count, tracks.length, random);
  const same = tracks.slice(first, first + count).filter((track) => rowOf(track).tempo === wanted);
  if (same.length > 1) return null;
  return {
    wanted: { by: 'tempo', tempo: Number(wanted) },
    at,
    first,
    row: showsTempo(deck) ? at - first : null,
  };
};

const key: Draw = ({ tracks }, deck, random) => {
  const at = below(random, tracks.length);
  const playing = pick(random, keysThatFit(tracks[at].key ?? ''));
  if (playing === undefined) return null;
  const fitting = keysThatFit(playing);
  const count = rowsAsked(deck);
  const first = windowWith(at, at, count, tracks.length, random);
  const fits = tracks.slice(first, first + count).filter((track) => fitting.includes(track.key ?? ''));
  if (fits.length !== 1) return null;
  return { wanted: { by: 'key', playing }, at, first, row: showsFit(deck) ? at - first : null };
};

/** Ways of asking whose answer is a row, and those whose answer is that the list cannot tell. */
const draws = (deck: DeckProfile): { row: Draw[]; untold: Draw[] } => ({
  row: [plainTitle, ...(showsTempo(deck) ? [tempo] : []), ...(showsFit(deck) ? [key] : [])],
  untold: [alikeTitle, ...(showsTempo(deck) ? [] : [tempo]), ...(showsFit(deck) ? [] : [key])],
});

function drawn(of: readonly Draw[], listed: Listed, deck: DeckProfile, random: Random): Found | null {
  for (const draw of shuffled(random, of)) {
    for (let i = 0; i < TRIES; i++) {
      const found = draw(listed, deck, random);
      if (found) return found;
    }
  }
  return null;
}

/**
 * Which row is it? The last answer is that the list does not tell. Half of the questions are of that sort where there
 * are such.
 */
export function rowInList(
  deck: DeckProfile,
  tracks: readonly ListedTrack[],
  random: Random,
): MadeQuestion | null {
  const listed = listedOn(inOrder(tracks), deck);
  const { row, untold } = draws(deck);
  const [asked, else_] = random() < 0.5 ? [untold, row] : [row, untold];
  const found = drawn(asked, listed, deck, random) ?? drawn(else_, listed, deck, random);
  if (!found) return null;
  const { wanted, at, first } = found;
  const list = pictureOf(
    listed.tracks,
    first,
    rowsAsked(deck),
    deck,
    wanted.by === 'key' ? wanted.playing : null,
  );
  const shown = listed.tracks.slice(first, first + list.rows.length);
  const alike = (listed.twins.get(at) ?? []).map((place) => place - first);
  return {
    shown: { own: listed.tracks[at].id !== PRACTICE_ID, drill: 'row-in-list', list, wanted },
    answers: list.rows.length + 1,
    index: found.row ?? list.rows.length,
    trackId: listed.tracks[at].id,
    explanation: {
      sentences: rowSentences(wanted, rowOf(listed.tracks[at]), found.row, deck),
      rows: inFull(shown, at - first, wanted.by === 'title' ? alike : []),
    },
  };
}

/** The rows as they stand on the drive. @param alike indices of those that look like the one that is meant */
export const inFull = (
  tracks: readonly ListedTrack[],
  meant: number,
  alike: readonly number[] = [],
): FullRow[] =>
  tracks.map((track, i) => {
    const { title, artist, tempo: bpm, key: name } = rowOf(track);
    const role = i === meant ? 'meant' : alike.includes(i) ? 'alike' : null;
    return { title, artist, more: [bpm, name].filter(Boolean).join(', '), role };
  });
