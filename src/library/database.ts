/** Opens the library's database and watches over it: migrations, refusals, and other tabs. */
import { openDB } from 'idb';
import {
  type LibraryDb,
  type LibrarySchema,
  type Migration,
  MIGRATIONS,
  latestVersion,
  migrate,
} from './schema.ts';
import { SENTENCES } from './sentences.ts';

export const DATABASE_NAME = 'boothproof';

export type DatabaseFaultCode = 'newer' | 'unavailable' | 'migration';

/** The database cannot be used. `message` is one plain sentence with the remedy. */
export class DatabaseFault extends Error {
  override name = 'DatabaseFault';
  constructor(
    readonly code: DatabaseFaultCode,
    message: string,
    options?: ErrorOptions,
  ) {
    super(message, options);
  }
}

export interface OpenOptions {
  name?: string;
  migrations?: readonly Migration[];
  /** Another tab holds the older database open: opening waits until it is closed. */
  onBlocked?: (sentence: string) => void;
  /**
   * Another tab wants to upgrade. Called before this connection closes itself: whatever still waits to be
   * written must begin its transaction now, synchronously; the close waits for it.
   */
  onHandOver?: (sentence: string) => void;
  /** The browser ended the connection. */
  onTerminated?: (sentence: string) => void;
}

/**
 * Opens the database, creating or migrating it as needed.
 * @throws DatabaseFault `newer` when it was written by a later version (it is left untouched), `migration`
 *   when a step failed (the database stays as it was), `unavailable` when the browser refuses
 */
export async function openDatabase(options: OpenOptions = {}): Promise<LibraryDb> {
  const migrations = options.migrations ?? MIGRATIONS;
  let failure: unknown = null;
  let db: LibraryDb;
  try {
    db = await openDB<LibrarySchema>(options.name ?? DATABASE_NAME, latestVersion(migrations), {
      upgrade(upgraded, oldVersion, _newVersion, transaction) {
        // Left to itself a failing step would commit the steps before it: abort, so that all or nothing holds.
        transaction.done.catch(() => {});
        migrate(migrations, upgraded, oldVersion, transaction).catch((error: unknown) => {
          failure = error;
          try {
            transaction.abort();
          } catch {
            // It has aborted by itself, which is what we want.
          }
        });
      },
      blocked: () => options.onBlocked?.(SENTENCES.blocked),
      blocking: () => {
        options.onHandOver?.(SENTENCES.handedOver);
        db.close();
      },
      terminated: () => options.onTerminated?.(SENTENCES.terminated),
    });
  } catch (error) {
    if (failure !== null) {
      throw new DatabaseFault('migration', SENTENCES.migrationFailed(reason(failure)), { cause: failure });
    }
    if (error instanceof Error && error.name === 'VersionError') {
      throw new DatabaseFault('newer', SENTENCES.newerDatabase, { cause: error });
    }
    throw new DatabaseFault('unavailable', SENTENCES.unavailable(reason(error)), { cause: error });
  }
  return db;
}

/** What an unknown error says for itself. */
export function reason(error: unknown): string {
  return error instanceof Error ? error.message || error.name : String(error);
}
