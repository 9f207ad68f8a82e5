/** The app's own database, written and read beside the app: for states that would take a person days to reach. */
import type { Page } from '@playwright/test';

const NAME = 'boothproof';

/** Puts records into a store; the page must be opened anew to see them. Stores without a key path give keys themselves. */
export async function putRecords(page: Page, store: string, records: readonly unknown[]): Promise<void> {
  await page.evaluate(
    ([name, into, all]) =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open(name);
        opening.onerror = () => reject(opening.error!);
        opening.onsuccess = () => {
          const db = opening.result;
          const transaction = db.transaction(into, 'readwrite');
          for (const record of all) transaction.objectStore(into).put(record);
          transaction.onerror = () => reject(transaction.error!);
          transaction.oncomplete = () => {
            db.close();
            resolve();
          };
        };
      }),
    [NAME, store, records] as const,
  );
}

/** Everything in a store. */
export async function readRecords<T>(page: Page, store: string): Promise<T[]> {
  return page.evaluate(
    ([name, from]) =>
      new Promise<T[]>((resolve, reject) => {
        const opening = indexedDB.open(name);
        opening.onerror = () => reject(opening.error!);
        opening.onsuccess = () => {
          const db = opening.result;
          const reading = db.transaction(from).objectStore(from).getAll();
          reading.onerror = () => reject(reading.error!);
          reading.onsuccess = () => {
            db.close();
            resolve(reading.result as T[]);
          };
        };
      }),
    [NAME, store] as const,
  );
}

/** From the next load of the page on, single records of a store come `ms` late, as from a slow disk. */
export async function slowReads(page: Page, store: string, ms: number): Promise<void> {
  await page.addInitScript(
    ([slow, wait]) => {
      type Listener = (event: Event) => void;
      const listen = EventTarget.prototype.addEventListener;
      IDBRequest.prototype.addEventListener = function (type: string, listener: unknown) {
        const late = (event: Event) => void setTimeout(() => (listener as Listener)(event), wait);
        const hold = type === 'success' && this.source instanceof IDBObjectStore && this.source.name === slow;
        listen.call(this, type, hold ? late : (listener as Listener));
      };
    },
    [store, ms] as const,
  );
}

/** ms since 1970; the session's sample of tracks hangs on it. */
export const SESSION_START = 1_764_000_000_000;

/** A session of drills that is open, with these items; see `Session` in shared/drills/types.ts. */
export async function putSession(
  page: Page,
  items: readonly { key: string; seed?: number; baseline?: boolean }[],
  startedAt = SESSION_START,
): Promise<void> {
  const session = {
    ...{ version: 1, minutes: 5, mode: 'everyday', startedAt, at: 0, answers: [] },
    items: items.map(({ key, seed = 1, baseline = false }) => ({
      ...{ key, seed, baseline },
      withSound: false,
      why: 'new',
    })),
  };
  await putRecords(page, 'sessions', [{ id: 'open', session, savedAt: startedAt }]);
}

/** Empties stores. */
export async function clearStores(page: Page, stores: readonly string[]): Promise<void> {
  await page.evaluate(
    ([name, all]) =>
      new Promise<void>((resolve, reject) => {
        const opening = indexedDB.open(name);
        opening.onerror = () => reject(opening.error!);
        opening.onsuccess = () => {
          const db = opening.result;
          const transaction = db.transaction(all, 'readwrite');
          for (const store of all) transaction.objectStore(store).clear();
          transaction.onerror = () => reject(transaction.error!);
          transaction.oncomplete = () => {
            db.close();
            resolve();
          };
        };
      }),
    [NAME, [...stores]] as const,
  );
}
