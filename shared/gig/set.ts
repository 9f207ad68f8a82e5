/** Edits of a set: pure functions from set to set. */
import {
  type Booth,
  type BoothDeck,
  type GigSet,
  GigFault,
  MAX_DECK_COUNT,
  MAX_ENTRIES,
  type SetEntry,
  type SetTrack,
} from './types.ts';

export const newSet = (id: string, name: string): GigSet => ({ id, name, boothId: null, entries: [] });

export const newBooth = (id: string, name: string, profileId: string): Booth => ({
  id,
  name,
  decks: [{ profileId, count: 2, linked: true }],
  notes: '',
});

/** Each kind of deck once for linked and once for unlinked ones, with how many there are. */
export function joinedDecks(decks: readonly BoothDeck[]): BoothDeck[] {
  const joined: BoothDeck[] = [];
  for (const deck of decks) {
    const same = joined.findIndex(
      (other) => other.profileId === deck.profileId && other.linked === deck.linked,
    );
    if (same < 0) joined.push(deck);
    else {
      const count = Math.min(MAX_DECK_COUNT, joined[same].count + deck.count);
      joined[same] = { ...deck, count };
    }
  }
  return joined;
}

/** An entry with nothing planned yet. */
export function entryOf(track: Pick<SetTrack, 'id' | 'title' | 'artist' | 'fileName'>, id: string): SetEntry {
  return {
    id,
    trackId: track.id,
    title: track.title,
    artist: track.artist ?? '',
    fileName: track.fileName,
    mixIn: null,
    mixOut: null,
    moves: [],
    note: '',
  };
}

/** @param at place in the set, 0..entries; beyond it: at the end */
export function insertEntries(set: GigSet, entries: readonly SetEntry[], at: number): GigSet {
  if (set.entries.length + entries.length > MAX_ENTRIES) {
    throw new GigFault(`A set holds ${MAX_ENTRIES} tracks at most: leave some out.`);
  }
  return { ...set, entries: set.entries.toSpliced(at, 0, ...entries) };
}

/** Moves an entry so that it stands at place `to` afterwards. */
export function moveEntry(set: GigSet, id: string, to: number): GigSet {
  const from = set.entries.findIndex((entry) => entry.id === id);
  if (from < 0) return set;
  const entries = set.entries.toSpliced(from, 1);
  entries.splice(Math.max(0, to), 0, set.entries[from]);
  return { ...set, entries };
}

export function removeEntry(set: GigSet, id: string): GigSet {
  return { ...set, entries: set.entries.filter((entry) => entry.id !== id) };
}

export function changeEntry(set: GigSet, id: string, change: Partial<Omit<SetEntry, 'id'>>): GigSet {
  return { ...set, entries: set.entries.map((entry) => (entry.id === id ? { ...entry, ...change } : entry)) };
}
