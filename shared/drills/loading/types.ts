/**
 * Drills of what comes before a track plays: whether its file loads, which row of the list it is, how to get to it.
 * They ask about names and files, so they need no grid, no sections and no picture; scheduled, graded and kept as the
 * reading drills are. As there, `shown` is all that may be drawn before the answer.
 */
import type { SourceFormat } from '../../analysis.ts';
import type { ListField } from '../../gig/check/names.ts';
import type { Reason } from '../../survival/verdict.ts';
import type { Held, ItemKey } from '../types.ts';
import type { LoadingKind } from './kinds.ts';

/** A track as lists and drives have it. */
export interface ListedTrack {
  id: string;
  title: string;
  artist: string | null;
  /** beats per minute, null where there is no steady one */
  tempo: number | null;
  /** For instance `A minor`. */
  key: string | null;
  /** s */
  duration: number;
  source: SourceFormat;
}

/** Stands as the id of every track of the invented list. */
export const PRACTICE_ID = 'practice';

/** Whether a file loads on a deck. */
export const LOAD_ANSWERS = ['loads', 'slowly', 'refused'] as const;
export type LoadAnswer = (typeof LOAD_ANSWERS)[number];

/** A file as its owner knows it. */
export interface FileCard {
  title: string;
  source: SourceFormat;
  /** A disc with files on it, or a drive. */
  carrier: 'drive' | 'disc';
  /** Bytes of tags and covers, and stored points; null: not said, because it decides nothing. */
  baggage: { metadataBytes: number; markers: number } | null;
}

/** What becomes of a file on a deck. */
export interface Loading {
  answer: LoadAnswer;
  /** Of the file itself; empty: nothing in it keeps it from loading. */
  reasons: Reason[];
  /** It is on a disc, and there is no slot for one. */
  noSlot: boolean;
}

/** Rows as the deck's list shows them. */
export interface ListPicture {
  fields: readonly ListField[];
  rows: { cells: string[]; /** Marked by the deck as going with the key that plays. */ fits: boolean }[];
  /** Rows that are seen at once; more are shown one screen under the other. */
  perScreen: number;
  /** Number of the first row in the whole list, from 1, and the rows of the whole list. */
  first: number;
  of: number;
}

/** What is known of the track that is wanted. */
export type Wanted =
  | { by: 'title'; title: string; artist: string }
  | { by: 'tempo'; tempo: number }
  | { by: 'key'; playing: string };

/** Ways to a track in the list; `ahead`: none of this list's own, so the order must be made at home. */
export const WAYS = ['filter', 'search', 'letter', 'knob', 'ahead'] as const;
export type ListWay = (typeof WAYS)[number];

/** `own`: the file or the list is the person’s own, else invented. */
export type LoadingShown = { own: boolean } & (
  | { drill: 'loads-there'; card: FileCard }
  | { drill: 'row-in-list'; list: ListPicture; wanted: Wanted }
  | { drill: 'way-to-row'; list: ListPicture; wanted: Wanted }
);

/** A row as it stands on the drive: `meant` is the one that was asked for, `alike` another that looks like it there. */
export interface FullRow {
  title: string;
  artist: string;
  /** Tempo and key, as far as they are known. */
  more: string;
  role: 'meant' | 'alike' | null;
}

/** After the answer. */
export interface LoadingExplanation {
  sentences: string[];
  /** The rows in full; null where there was no list to read. */
  rows: FullRow[] | null;
}

export interface LoadingItem {
  /** Made of `key` and `seed`, the same whenever the item is made again. */
  id: string;
  key: ItemKey;
  drill: LoadingKind;
  /** They are about no part of a track. */
  section: 'other';
  deckId: string;
  shownDeckId: string;
  baseline: false;
  shown: LoadingShown;
  /** How many answers there are to choose from; `held.answer` is one by its index. */
  answers: number;
  held: Pick<Held, 'chance' | 'trackId' | 'barSeconds' | 'columnSeconds'> & {
    answer: { type: 'choice'; index: number };
  };
  /** Why it is so; never drawn before the answer. */
  explanation: LoadingExplanation;
}
