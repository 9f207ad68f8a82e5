/** Items about lists and files, made anew from key and seed. */
import type { DeckProfile } from '../../profile/schema.ts';
import { seeded } from '../random.ts';
import type { ItemKey, PlannedItem } from '../types.ts';
import { loadsThere, type MadeQuestion } from './files.ts';
import { rowInList } from './list.ts';
import { isLoadingDrill, LOADING_KINDS, type LoadingKind } from './kinds.ts';
import type { ListedTrack, LoadingItem } from './types.ts';
import { wayToRow } from './ways.ts';

/** Tracks that make a list worth asking about; with fewer the invented one is asked about. Estimate. */
const LEAST_OWN = 24;
/** Share of the questions about the person's own list; the invented one has names that are hard to tell apart. */
const OWN_SHARE = 1 / 2;

/** What a session is planned from. */
export interface LoadingKey {
  key: ItemKey;
  deckId: string;
  drill: LoadingKind;
  section: 'any';
  baseline: false;
  sound: 'never';
}

export const loadingKey = (deckId: string, drill: LoadingKind): ItemKey => `${deckId}/${drill}/any`;

/** The parts of the key of such a drill, or null for a key of another sort. */
export function loadingPartsOf(key: ItemKey): { deckId: string; drill: LoadingKind } | null {
  const [deckId, drill] = key.split('/');
  return isLoadingDrill(drill) ? { deckId, drill } : null;
}

/** Every deck has a list and loads files, so all of them can be asked about all of it. */
export const loadingKeys = (profiles: readonly DeckProfile[]): LoadingKey[] =>
  profiles.flatMap(({ id: deckId }) =>
    LOADING_KINDS.map((drill): LoadingKey => ({
      key: loadingKey(deckId, drill),
      deckId,
      drill,
      section: 'any',
      baseline: false,
      sound: 'never',
    })),
  );

/**
 * The item of a place in a session: the same seed, tracks and deck give the same item.
 * @param own the person's tracks
 * @param practice an invented list for who has too few of them, with names that cut lists make alike
 * @returns null where the deck is not at hand any more, or the key is that of another sort of drill
 */
export function loadingItemFor(
  { key, seed }: Pick<PlannedItem, 'key' | 'seed'>,
  own: readonly ListedTrack[],
  profiles: readonly DeckProfile[],
  practice: readonly ListedTrack[],
): LoadingItem | null {
  const parts = loadingPartsOf(key);
  const deck = profiles.find(({ id }) => id === parts?.deckId);
  if (!parts || !deck) return null;
  const random = seeded(seed);
  const named = own.filter(({ title }) => title.trim());
  const tracks = named.length >= LEAST_OWN && random() < OWN_SHARE ? named : practice;
  const make: Record<LoadingKind, () => MadeQuestion | null> = {
    'loads-there': () => loadsThere(deck, named, random),
    'row-in-list': () => rowInList(deck, tracks, random) ?? rowInList(deck, practice, random),
    'way-to-row': () => wayToRow(deck, tracks, random) ?? wayToRow(deck, practice, random),
  };
  const made = make[parts.drill]();
  if (!made) return null;
  const { shown, answers, index, trackId, explanation } = made;
  return {
    id: `${key}/${seed}`,
    key,
    drill: parts.drill,
    section: 'other',
    deckId: deck.id,
    shownDeckId: deck.id,
    baseline: false,
    shown,
    answers,
    held: {
      answer: { type: 'choice', index },
      chance: 1 / answers,
      trackId,
      barSeconds: 0,
      columnSeconds: 0,
    },
    explanation,
  };
}
