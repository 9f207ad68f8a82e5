/** Booths and sets as the database keeps them. */
import * as v from 'valibot';
import { BoothSchema, GigSetSchema, type Booth, type GigSet } from '../../shared/gig/types.ts';
import type { Disk } from './disk.ts';
import type { LibraryDb } from './schema.ts';

export class GigStore {
  readonly #disk: Disk;
  readonly #announce: () => void;

  /** @param announce tells the other tabs of a change */
  constructor(disk: Disk, announce: () => void = () => {}) {
    this.#disk = disk;
    this.#announce = announce;
  }

  /** What cannot be read (written by something else) is left where it is, and left out. */
  load(): Promise<{ booths: Booth[]; sets: GigSet[] }> {
    return this.#disk.read(
      async (db) => {
        const [booths, sets] = await Promise.all([db.getAll('booths'), db.getAll('sets')]);
        return {
          booths: booths.filter((booth) => v.is(BoothSchema, booth)),
          sets: sets.filter((set) => v.is(GigSetSchema, set)),
        };
      },
      { booths: [], sets: [] },
    );
  }

  /** Begins its transaction synchronously. */
  async saveBooth(booth: Booth): Promise<void> {
    await this.#write('The booth', (db) => db.put('booths', booth));
  }

  async saveSet(set: GigSet): Promise<void> {
    await this.#write('The set', (db) => db.put('sets', set));
  }

  async deleteBooth(id: string): Promise<void> {
    await this.#write('The booth', (db) => db.delete('booths', id));
  }

  async deleteSet(id: string): Promise<void> {
    await this.#write('The set', (db) => db.delete('sets', id));
  }

  async #write(what: string, work: (db: LibraryDb) => Promise<unknown>): Promise<void> {
    await this.#disk.write(what, work);
    this.#announce();
  }
}
