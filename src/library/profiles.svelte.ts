/** The person's own profiles as the page sees them. */
import type { ProfileFile } from '../../shared/profile/schema.ts';
import type { Disk } from './disk.ts';
import { deleteProfile, readProfiles, saveProfile } from './profiles.ts';

export class OwnProfilesState {
  /** Richest first. */
  list = $state.raw<readonly ProfileFile[]>([]);

  readonly #disk: Disk;
  readonly #report: (sentence: string) => void;
  readonly #changed: () => void;

  constructor(disk: Disk, report: (sentence: string) => void, changed: () => void) {
    this.#disk = disk;
    this.#report = report;
    this.#changed = changed;
  }

  async load(): Promise<void> {
    const { profiles, problems } = await this.#disk.read(readProfiles, { profiles: [], problems: [] });
    this.list = byRichness(profiles);
    problems.forEach(this.#report);
  }

  /** Adds a profile, or replaces the own one of its id. Throws a ValiError when it does not fit the schema. */
  async save(profile: ProfileFile): Promise<void> {
    const plain = $state.snapshot(profile) as ProfileFile;
    this.list = byRichness([...this.list.filter((p) => p.id !== plain.id), plain]);
    await this.#disk.write(`The profile “${plain.name}”`, (db) => saveProfile(db, plain, Date.now()));
    this.#changed();
  }

  /** @returns the deleted profile, for undo by `save`; null when there was none */
  async remove(id: string): Promise<ProfileFile | null> {
    const profile = this.list.find((p) => p.id === id);
    if (!profile) return null;
    this.list = this.list.filter((p) => p.id !== id);
    await this.#disk.write(`The removal of “${profile.name}”`, (db) => deleteProfile(db, id));
    this.#changed();
    return profile;
  }
}

function byRichness(profiles: readonly ProfileFile[]): ProfileFile[] {
  return [...profiles].sort((a, b) => b.richness - a.richness || a.name.localeCompare(b.name));
}
