/**
 * The file of a backup: JSON lines (one JSON value to a line, UTF-8, LF).
 * ```
 * {"format":"boothproof-backup","version":2,"writtenAt":1764000000000}
 * {"store":"tracks","record":{…}}         also edits, profiles, settings; from version 2 on booths, sets, answers, hands,
 *                                         cards, sessions
 * {"store":"covers","id":"…","type":"image/png","base64":"…"}
 * {"store":"analyses","id":"…","version":3,"analysedAt":1764000000000,"base64":"…"}   bytes of shared/analysis-codec.ts
 * {"end":true,"records":12,"sha256":"…"}  over all bytes before this line
 * ```
 * A number that JSON lacks is `{"$number":"-Infinity"}`.
 */
import * as v from 'valibot';
import { CARD_LIMITS } from '../../shared/drills/cards.ts';
import { LAST_MOMENT, readSession } from '../../shared/drills/session.ts';
import type { AnswerRecord, HandRecord, Session } from '../../shared/drills/types.ts';
import { EditedGridSchema } from '../../shared/grid/schema.ts';
import { MarkerSchema } from '../../shared/markers/marker.ts';
import { EditedSectionsSchema } from '../../shared/sections/schema.ts';
import { TrackRecordSchema } from './track-schema.ts';

/** A reader takes all versions up to its own. */
export const BACKUP_VERSION = 2;

/** Stores whose records are plain JSON. */
export const PLAIN_STORES = [
  'tracks',
  'edits',
  'profiles',
  'settings',
  'booths',
  'sets',
  'answers',
  'hands',
  'cards',
  'sessions',
] as const;
export type PlainStore = (typeof PLAIN_STORES)[number];
/** Stores whose records are mostly bytes; they stay in the file until they are needed. */
export const BYTE_STORES = ['covers', 'analyses'] as const;
export type ByteStore = (typeof BYTE_STORES)[number];

/** A backup that cannot be read or restored. `message` is one plain sentence with the file and the remedy. */
export class BackupFault extends Error {
  override name = 'BackupFault';
}

const grade = v.picklist([1, 2, 3, 4]);
const nullable = v.nullable(v.number());
/** Milliseconds since 1970 that a calendar has a day for. */
const moment = v.pipe(v.number(), v.minValue(0), v.maxValue(LAST_MOMENT));
const key = v.pipe(v.string(), v.minLength(1), v.maxLength(200));
const state = {
  grid: v.nullable(EditedGridSchema),
  sections: v.nullable(EditedSectionsSchema),
  markers: v.nullish(v.array(MarkerSchema)),
};

/** What each record must have to be of use; whatever else it has is kept. */
export const RECORDS = {
  tracks: TrackRecordSchema,
  edits: v.looseObject({
    id: key,
    savedAt: moment,
    ...state,
    history: v.optional(
      v.looseObject({
        steps: v.array(v.looseObject({ what: v.string(), ...state })),
        at: v.pipe(v.number(), v.integer(), v.minValue(0)),
      }),
    ),
  }),
  profiles: v.looseObject({ id: key, file: v.looseObject({ name: v.string() }), savedAt: moment }),
  settings: v.looseObject({ key, value: v.unknown(), savedAt: moment }),
  booths: v.looseObject({ id: key, name: v.string(), decks: v.array(v.looseObject({ profileId: key })) }),
  sets: v.looseObject({
    id: key,
    name: v.string(),
    boothId: v.nullable(key),
    entries: v.array(v.looseObject({ id: key, trackId: v.nullable(key) })),
  }),
  answers: v.looseObject({
    ...{ at: moment, key, drill: v.string(), section: v.string(), trackId: v.string() },
    ...{ deckId: v.string(), shownDeckId: v.string(), baseline: v.boolean() },
    ...{ errorBars: nullable, errorMs: nullable, correct: v.number(), hit: v.boolean(), chance: v.number() },
    ...{ responseSeconds: v.number(), confidence: v.number(), grade },
  }),
  hands: v.looseObject({
    ...{ at: moment, key, drill: v.string(), deckId: v.string(), done: v.boolean() },
    ...{ presses: v.number(), fewest: v.number(), seconds: v.number(), leastSeconds: v.number() },
    ...{ errorMs: nullable, bestErrorMs: nullable, grade },
  }),
  cards: v.looseObject({
    ...{ key, due: moment, reps: v.number() },
    stability: v.pipe(v.number(), v.minValue(CARD_LIMITS.stability)),
    difficulty: v.pipe(
      v.number(),
      v.minValue(CARD_LIMITS.difficulty[0]),
      v.maxValue(CARD_LIMITS.difficulty[1]),
    ),
    ...{ scheduledDays: v.number(), learningStep: v.number(), lapses: v.number() },
    ...{ state: v.picklist([0, 1, 2, 3]), lastReview: v.nullable(moment) },
  }),
  sessions: v.looseObject({
    id: v.literal('open'),
    session: v.custom<Session>((value) => readSession(value) !== null),
    savedAt: moment,
  }),
} as const satisfies Record<PlainStore, v.GenericSchema>;

const NUMBER = '$number';

/** One line, without its end. */
export const lineOf = (value: unknown): string =>
  JSON.stringify(value, (_key, item: unknown) =>
    typeof item === 'number' && (!Number.isFinite(item) || Object.is(item, -0))
      ? { [NUMBER]: Object.is(item, -0) ? '-0' : String(item) }
      : item,
  );

/** @throws SyntaxError */
export const valueOf = (line: string): unknown =>
  JSON.parse(line, (_key, item: unknown) =>
    typeof item === 'object' && item !== null && NUMBER in item ? Number(item[NUMBER]) : item,
  );

/** bytes for one call, a multiple of three, so that the pieces can be joined */
const BASE64_PIECE = 3 * 8192;

export function base64Of(bytes: Uint8Array): string {
  const pieces: string[] = [];
  for (let at = 0; at < bytes.length; at += BASE64_PIECE) {
    pieces.push(btoa(String.fromCharCode(...bytes.subarray(at, at + BASE64_PIECE))));
  }
  return pieces.join('');
}

/** @throws DOMException when the text is no base64 */
export function bytesOfBase64(text: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
}

/** `boothproof-2026-11-25.jsonl` */
export const backupName = (now: number): string =>
  `boothproof-${new Date(now).toISOString().slice(0, 10)}.jsonl`;

/** Whether two stored values are equal; a key that is undefined counts as missing. */
export function sameValue(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const [x, y] = [a, b] as Record<string, unknown>[];
  return [...new Set([...Object.keys(x), ...Object.keys(y)])].every((k) => sameValue(x[k], y[k]));
}

/** An answer or a round by all that it holds: these have no id, and equal ones are one. */
export const identityOf = (record: AnswerRecord | HandRecord): string =>
  JSON.stringify(record, Object.keys(record).sort());
