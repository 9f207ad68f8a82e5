/** The database as the page holds it: it may be missing, and a write that fails is told, never swallowed. */
import { DatabaseFault, type OpenOptions, openDatabase, reason } from './database.ts';
import type { LibraryDb } from './schema.ts';
import { SENTENCES } from './sentences.ts';

export interface DiskOptions {
  /** Shows a sentence to the person. */
  report(sentence: string): void;
  /** Called before the database is handed over to another tab: begin what must be written, synchronously. */
  lastCall?(): void;
  name?: string;
  open?: (options: OpenOptions) => Promise<LibraryDb>;
}

export class Disk {
  /** Writes that failed since the page was opened. */
  failures = 0;

  #db: LibraryDb | null = null;
  readonly #options: DiskOptions;

  constructor(options: DiskOptions) {
    this.#options = options;
  }

  /** Null when nothing can be kept: the page then works until it is closed. */
  get db(): LibraryDb | null {
    return this.#db;
  }

  /** Opens the database; when that fails the sentence is reported and `db` stays null. */
  async open(): Promise<void> {
    const { report, lastCall, name, open = openDatabase } = this.#options;
    const gone = (sentence: string) => {
      this.#db = null;
      report(sentence);
    };
    try {
      this.#db = await open({
        name,
        onBlocked: report,
        onHandOver: (sentence) => {
          lastCall?.();
          gone(sentence);
        },
        onTerminated: gone,
      });
    } catch (error) {
      if (!(error instanceof DatabaseFault)) throw error;
      gone(error.message);
    }
  }

  /**
   * Runs one write.
   * @param what names what is written, for the sentence
   * @returns its result, or null when there is no database or the write failed (which was reported)
   */
  async write<T>(what: string, work: (db: LibraryDb) => Promise<T>): Promise<T | null> {
    if (!this.#db) return null;
    try {
      return await work(this.#db);
    } catch (error) {
      this.failures++;
      this.#options.report(SENTENCES.notSaved(what, reason(error)));
      return null;
    }
  }

  /** Reads; without a database `fallback`. Errors are thrown. */
  async read<T>(work: (db: LibraryDb) => Promise<T>, fallback: T): Promise<T> {
    return this.#db ? work(this.#db) : fallback;
  }

  close(): void {
    this.#db?.close();
    this.#db = null;
  }
}
