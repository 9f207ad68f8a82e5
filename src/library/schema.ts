/**
 * The database's schema and the way from every older one to it. Version 1 is the first that shipped.
 *
 * To change the schema: add one entry at the end of MIGRATIONS, never alter an entry that has shipped. A
 * later store (for instance the markers of a track) is one entry that creates it; when it is keyed by the
 * track's id, add it to TRACK_STORES as well, so that removing a track removes its part of the store.
 */
import type { AnswerRecord, CardRecord, HandRecord } from '../../shared/drills/types.ts';
import type { Booth, GigSet } from '../../shared/gig/types.ts';
import type { DBSchema, IDBPDatabase, IDBPTransaction, StoreNames } from 'idb';
import type {
  AnalysisRecord,
  AudioRecord,
  CoverRecord,
  EditRecord,
  ProfileRecord,
  SessionRecord,
  SettingRecord,
  TrackRecord,
  UnreadRecord,
} from './records.ts';

export interface LibrarySchema extends DBSchema {
  tracks: { key: string; value: TrackRecord };
  analyses: { key: string; value: AnalysisRecord; indexes: { version: number } };
  covers: { key: string; value: CoverRecord };
  audio: { key: string; value: AudioRecord };
  edits: { key: string; value: EditRecord };
  profiles: { key: string; value: ProfileRecord };
  settings: { key: string; value: SettingRecord };
  answers: { key: number; value: AnswerRecord };
  hands: { key: number; value: HandRecord };
  cards: { key: string; value: CardRecord };
  sessions: { key: string; value: SessionRecord };
  booths: { key: string; value: Booth };
  sets: { key: string; value: GigSet };
  unread: { key: number; value: UnreadRecord };
}

export type LibraryStore = StoreNames<LibrarySchema>;
export type LibraryDb = IDBPDatabase<LibrarySchema>;
export type UpgradeTransaction = IDBPTransaction<LibrarySchema, LibraryStore[], 'versionchange'>;

/** Stores that hold one record per track, under the track's id. */
export const TRACK_STORES = ['tracks', 'analyses', 'covers', 'audio', 'edits'] as const;

/** One step from the version before to `to`. May await only requests of its own transaction. */
export interface Migration {
  to: number;
  /** What it changes, in words. */
  what: string;
  run(db: LibraryDb, transaction: UpgradeTransaction): void | Promise<void>;
}

export const MIGRATIONS: readonly Migration[] = [
  {
    to: 1,
    what: 'Tracks, their analyses, covers, kept audio and corrections, own deck profiles, and settings.',
    run(db) {
      for (const store of ['tracks', 'covers', 'audio', 'edits', 'profiles'] as const) {
        db.createObjectStore(store, { keyPath: 'id' });
      }
      db.createObjectStore('analyses', { keyPath: 'id' }).createIndex('version', 'version');
      db.createObjectStore('settings', { keyPath: 'key' });
    },
  },
  {
    to: 2,
    what: 'Answers to drills, their schedule and the open session; booths and sets.',
    run(db) {
      db.createObjectStore('answers', { autoIncrement: true });
      db.createObjectStore('cards', { keyPath: 'key' });
      for (const store of ['sessions', 'booths', 'sets'] as const)
        db.createObjectStore(store, { keyPath: 'id' });
    },
  },
  {
    to: 3,
    what: 'Rounds of hand drills.',
    run(db) {
      db.createObjectStore('hands', { autoIncrement: true });
    },
  },
  {
    to: 4,
    what: 'Files that were given and are not read yet.',
    run(db) {
      db.createObjectStore('unread', { keyPath: 'key', autoIncrement: true });
    },
  },
];

/** The version that a list of migrations leads to; throws a RangeError unless it counts 1, 2, 3… */
export function latestVersion(migrations: readonly Migration[]): number {
  migrations.forEach((step, i) => {
    if (step.to !== i + 1) throw new RangeError(`Migration ${i + 1} leads to version ${step.to}.`);
  });
  return migrations.length;
}

/** Runs every step after `oldVersion`, in order. */
export async function migrate(
  migrations: readonly Migration[],
  db: LibraryDb,
  oldVersion: number,
  transaction: UpgradeTransaction,
): Promise<void> {
  for (const step of migrations) {
    if (step.to > oldVersion) await step.run(db, transaction);
  }
}
