/**
 * The file of a backup: JSON lines (one JSON value to a line, UTF-8, LF).
 * ```
 * {"format":"boothproof-backup","version":1,"writtenAt":1764000000000}
 * {"store":"tracks","record":{…}}         also edits, profiles, settings
 * {"store":"covers","id":"…","type":"image/png","base64":"…"}
 * {"store":"analyses","id":"…","version":3,"analysedAt":1764000000000,"base64":"…"}   bytes of shared/analysis-codec.ts
 * {"end":true,"records":12,"sha256":"…"}  over all bytes before this line
 * ```
 * A number that JSON lacks is `{"$number":"-Infinity"}`.
 */
import * as v from 'valibot';
import { EditedGridSchema } from '../../shared/grid/schema.ts';
import { MarkerSchema } from '../../shared/markers/marker.ts';
import { EditedSectionsSchema } from '../../shared/sections/schema.ts';
import { TrackRecordSchema } from './track-schema.ts';

export const BACKUP_FORMAT = 'boothproof-backup';
export const BACKUP_VERSION = 1;

/** Stores whose records are plain JSON. */
export const PLAIN_STORES = ['tracks', 'edits', 'profiles', 'settings'] as const;
export type PlainStore = (typeof PLAIN_STORES)[number];
/** Stores whose records are mostly bytes; they stay in the file until they are needed. */
export const BYTE_STORES = ['covers', 'analyses'] as const;
export type ByteStore = (typeof BYTE_STORES)[number];

/** A backup that cannot be read or restored. `message` is one plain sentence with the file and the remedy. */
export class BackupFault extends Error {
  override name = 'BackupFault';
}

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
    savedAt: v.number(),
    ...state,
    history: v.optional(
      v.looseObject({
        steps: v.array(v.looseObject({ what: v.string(), ...state })),
        at: v.pipe(v.number(), v.integer(), v.minValue(0)),
      }),
    ),
  }),
  profiles: v.looseObject({ id: key, file: v.looseObject({ name: v.string() }), savedAt: v.number() }),
  settings: v.looseObject({ key, value: v.unknown(), savedAt: v.number() }),
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
