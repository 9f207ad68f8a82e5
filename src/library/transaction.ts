/** Transactions that keep all of their writes or none. */
import type { IDBPTransaction } from 'idb';
import type { LibraryDb, LibrarySchema, LibraryStore } from './schema.ts';

export type Writing<Names extends readonly LibraryStore[]> = IDBPTransaction<
  LibrarySchema,
  [...Names],
  'readwrite'
>;

/**
 * Runs `work` in one read-write transaction that begins synchronously; resolves when it is safely written.
 * A failing request aborts a transaction by itself, but a value that cannot be cloned or an error between two
 * requests does not: the writes before it would stay. Here they are taken back.
 */
export async function writing<const Names extends readonly LibraryStore[], T>(
  db: LibraryDb,
  stores: Names,
  work: (transaction: Writing<Names>) => Promise<T>,
): Promise<T> {
  const transaction = db.transaction([...stores] as [...Names], 'readwrite');
  const { done } = transaction;
  done.catch(() => {}); // awaited below; until then a failure must not count as unhandled
  let result: T;
  try {
    result = await work(transaction);
  } catch (error) {
    try {
      transaction.abort();
    } catch {
      // It has aborted by itself.
    }
    // The transaction's own reason (for instance no room left) says more than the request's "aborted".
    throw transaction.error ?? error;
  }
  await done;
  return result;
}
