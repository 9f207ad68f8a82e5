/**
 * Booths, sets and what the check of a set needs of a track. Booths and sets are plain records that can be stored as
 * they are. Times are in seconds (float64) from the first decoded sample.
 */
import * as v from 'valibot';
import type { KeyEstimate, Partial as PartialRead, Section, SourceFormat } from '../analysis.ts';
import type { BeatGrid } from '../grid/grid.ts';
import type { Marker } from '../markers/marker.ts';
import type { Pyramid } from '../pyramid.ts';
import type { TrackTags } from '../tags.ts';

export const MAX_BOOTH_DECKS = 12;
/** Decks of one kind. */
export const MAX_DECK_COUNT = 8;
export const MAX_ENTRIES = 2000;
/** Moves planned in one track. */
export const MAX_MOVES = 50;
/** Characters of a name that a person gives. */
export const MAX_GIG_NAME = 80;
export const MAX_NOTES = 2000;
/** Characters of a title, an artist or a file's name as other programs wrote them. */
export const MAX_TEXT = 1000;

const id = v.pipe(v.string(), v.minLength(1), v.maxLength(80));
const name = v.pipe(v.string(), v.trim(), v.minLength(1), v.maxLength(MAX_GIG_NAME));
const notes = v.pipe(v.string(), v.maxLength(MAX_NOTES));
const text = v.pipe(v.string(), v.maxLength(MAX_TEXT));
const time = v.pipe(v.number(), v.finite(), v.minValue(0));
const beats = v.pipe(v.number(), v.finite(), v.gtValue(0), v.maxValue(4096));

/** Decks of one kind in a booth. */
export const BoothDeckSchema = v.strictObject({
  profileId: id,
  count: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(MAX_DECK_COUNT)),
  /** They share one drive and know of each other's tempo. */
  linked: v.boolean(),
});

export const BoothSchema = v.strictObject({
  id,
  name,
  decks: v.pipe(v.array(BoothDeckSchema), v.minLength(1), v.maxLength(MAX_BOOTH_DECKS)),
  notes,
});

/**
 * What the person means to do while the track plays, by intent: how a hand does it is the deck's affair.
 * `hold-key` is in no profile, so no check can tell whether a deck does it.
 */
export const PlannedMoveSchema = v.variant('kind', [
  /** Jump to a stored hot cue. */
  v.strictObject({ kind: v.literal('fire-cue'), markerId: id }),
  /** Run a loop that is among the markers. */
  v.strictObject({ kind: v.literal('run-loop'), markerId: id }),
  /** Set a loop of this length by hand, at `time` where that is planned. */
  v.strictObject({ kind: v.literal('make-loop'), beats, time: v.nullable(time) }),
  /** Beats, below 0: back. */
  v.strictObject({
    kind: v.literal('jump-beats'),
    beats: v.pipe(
      v.number(),
      v.finite(),
      v.minValue(-4096),
      v.maxValue(4096),
      v.notValue(0, 'a number of beats other than 0'),
    ),
  }),
  /** Let the deck follow the tempo of another. */
  v.strictObject({ kind: v.literal('follow-tempo') }),
  /** Set hot cues while the track plays. */
  v.strictObject({
    kind: v.literal('set-cues'),
    count: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(16)),
  }),
  /** Play with the track while it runs on silently underneath. */
  v.strictObject({ kind: v.literal('slip') }),
  v.strictObject({ kind: v.literal('slip-reverse') }),
  /** Take over the other deck's track where it is. */
  v.strictObject({ kind: v.literal('copy-deck') }),
  /** Reach a place, or play, with a finger on a touch strip. */
  v.strictObject({ kind: v.literal('sweep-strip') }),
  /** Listen to a later place by touching the overview. */
  v.strictObject({ kind: v.literal('listen-ahead') }),
  /** Play so much faster or slower, per cent, either sign. */
  v.strictObject({
    kind: v.literal('shift-tempo'),
    percent: v.pipe(v.number(), v.finite(), v.minValue(-100), v.maxValue(100)),
  }),
  /** Change the tempo and keep the pitch. */
  v.strictObject({ kind: v.literal('hold-key') }),
]);

export const SetEntrySchema = v.strictObject({
  /** Unique within its set. */
  id,
  /** Track of the library, or null: not found there. */
  trackId: v.nullable(id),
  title: text,
  artist: text,
  /** Name or path as the list gave it. */
  fileName: text,
  /** Where the track is brought in and where it is left, s; null: not planned. */
  mixIn: v.nullable(time),
  mixOut: v.nullable(time),
  moves: v.pipe(v.array(PlannedMoveSchema), v.maxLength(MAX_MOVES)),
  note: notes,
  /** Title that the copy on the drive is to have, where the track’s own will not do in a deck’s list. */
  nameOnDrive: v.optional(text),
});

export const GigSetSchema = v.strictObject({
  id,
  name,
  /** Booth that it is meant for, or null: none chosen. */
  boothId: v.nullable(id),
  entries: v.pipe(v.array(SetEntrySchema), v.maxLength(MAX_ENTRIES)),
});

export type BoothDeck = v.InferOutput<typeof BoothDeckSchema>;
export type Booth = v.InferOutput<typeof BoothSchema>;
export type PlannedMove = v.InferOutput<typeof PlannedMoveSchema>;
export type MoveKind = PlannedMove['kind'];
export type SetEntry = v.InferOutput<typeof SetEntrySchema>;
export type GigSet = v.InferOutput<typeof GigSetSchema>;

/** A booth, set or list that cannot be read or written; `message` is one plain sentence with the remedy. */
export class GigFault extends Error {
  override name = 'GigFault';
}

/**
 * What the check needs of a track. `pyramid` may be missing, so that a long set need not be in memory at once: then
 * what can be seen is not judged. The track must not be changed after it was judged; pass a new one.
 */
export interface SetTrack {
  id: string;
  title: string;
  artist: string | null;
  fileName: string;
  tags: Omit<TrackTags, 'cover'>;
  source: SourceFormat;
  /** s */
  duration: number;
  partial: PartialRead | null;
  /** Nothing audible in it: then it needs no grid. */
  silent: boolean;
  /** As corrected by the person, else as analysed. */
  grid: BeatGrid;
  /** The person has corrected or locked the grid. */
  gridByHand: boolean;
  sections: Section[];
  markers: Marker[];
  key: KeyEstimate | null;
  pyramid: Pyramid | null;
  /** Bytes of tags and covers in the file, or null where not known. */
  metadataBytes: number | null;
}
