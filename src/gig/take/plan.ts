/** What of each track goes along: decided from what the decks load, changed by the person. */
import type { SourceFormat } from '../../../shared/analysis.ts';
import type { LightTrack } from '../../../shared/gig/check/track-check.ts';
import type { GigSet } from '../../../shared/gig/types.ts';
import type { DeckProfile } from '../../../shared/profile/schema.ts';
import { fileFormatOf } from '../../../shared/survival/rules/file.ts';
import { reasonSentence } from '../../../shared/survival/words.ts';
import { safestFor } from '../../../workers/copy/plan.ts';
import { CopyFault, type CopyWish } from '../../../workers/copy/types.ts';
import { words } from './words.ts';

export type Carriage = 'as-is' | 'copy' | 'leave-out';
type Deck = Pick<DeckProfile, 'name' | 'media'>;

export interface TakeItem {
  track: LightTrack;
  /** Place in the set, from 1: the first, where the track stands in it more than once. */
  number: number;
  /** Why decks do not load the file, a sentence each; empty: all do. */
  faults: string[];
  /** Form of its copy, or null: `noCopy` says why there is none. */
  wish: CopyWish | null;
  noCopy: string | null;
  /** Its file is at hand. */
  isHere: boolean;
  carriage: Carriage;
  /** Title that the copy is to have; null: its own. */
  rename: string | null;
}

/** Why decks do not load such a file: one sentence for all decks with the same reason. */
export function loadFaults(source: SourceFormat, decks: readonly Deck[]): string[] {
  const format = fileFormatOf(source);
  const bySentence = new Map<string, string[]>();
  const add = (deck: Deck, key: string, params: Record<string, number | string>) => {
    const sentence = reasonSentence({ key, params });
    bySentence.set(sentence, [...(bySentence.get(sentence) ?? []), deck.name]);
  };
  for (const deck of decks) {
    const { formats, maxSampleRate, maxBitDepth } = deck.media;
    if (!format || !formats.includes(format)) {
      const named = format ?? `${source.codec} in ${source.container}`;
      add(deck, 'file-format', { format: named, plays: formats.join(' ') });
    }
    if (source.sampleRate > maxSampleRate) {
      add(deck, 'file-sample-rate', { rate: source.sampleRate, most: maxSampleRate });
    }
    if ((source.bitDepth ?? 0) > maxBitDepth) {
      add(deck, 'file-bit-depth', { bits: source.bitDepth!, most: maxBitDepth });
    }
  }
  return [...bySentence].map(([sentence, names]) => words.onDecks(names.join(', '), sentence));
}

/** Why decks would not load copies of this form. */
export const wishFaults = ({ container, depth, rate }: CopyWish, decks: readonly Deck[]): string[] =>
  loadFaults(
    {
      container,
      codec: 'pcm',
      lossless: true,
      sampleRate: rate,
      channels: 2,
      bitDepth: depth,
      bitrate: null,
    },
    decks,
  );

/**
 * One item for each track of the set that is in the library, in the set's order.
 * @param form of all copies, or null: the safest for these decks
 * @param chosen what the person chose instead, by the track's id
 * @param isHere whether a track's file is at hand
 */
export function takeItems(
  set: GigSet,
  tracks: readonly LightTrack[],
  decks: readonly Deck[],
  form: CopyWish | null,
  chosen: ReadonlyMap<string, Carriage>,
  isHere: (id: string) => boolean,
): TakeItem[] {
  const byId = new Map(tracks.map((track) => [track.id, track]));
  const items = new Map<string, TakeItem>();
  set.entries.forEach(({ trackId, nameOnDrive }, i) => {
    const track = trackId === null ? undefined : byId.get(trackId);
    if (!track || items.has(track.id)) return;
    const faults = loadFaults(track.source, decks);
    let wish = form;
    let noCopy: string | null = null;
    try {
      wish ??= safestFor(decks, track.source);
    } catch (error) {
      if (!(error instanceof CopyFault)) throw error;
      noCopy = error.message;
    }
    const rename = nameOnDrive || null;
    const usual: Carriage = (faults.length || rename) && wish ? 'copy' : 'as-is';
    let carriage = chosen.get(track.id) ?? usual;
    if (carriage === 'copy' && !wish) carriage = 'as-is';
    const here = isHere(track.id);
    if (!here) carriage = 'leave-out';
    items.set(track.id, { track, number: i + 1, faults, wish, noCopy, isHere: here, carriage, rename });
  });
  return [...items.values()];
}
