/** The settings as the page sees them: read one as `settings.current.theme`, change it by `settings.set`. */
import type { Disk } from './disk.ts';
import { createSaver } from './saver.ts';
import { SENTENCES } from './sentences.ts';
import { reason } from './database.ts';
import {
  checkSetting,
  defaultSettings,
  readSettings,
  type SettingKey,
  type Settings,
  writeSettings,
} from './settings.ts';

export class SettingsState {
  current = $state.raw<Readonly<Settings>>(defaultSettings());

  /** Stored recordings that cannot be read: written back with every change of the others, until they are let go of. */
  unreadable = $state.raw<readonly unknown[]>([]);
  readonly #disk: Disk;
  readonly #report: (sentence: string) => void;
  readonly #saver = createSaver<unknown>({
    write: (batch) => (this.#disk.db ? writeSettings(this.#disk.db, batch, Date.now()) : Promise.resolve()),
    onError: (error, keys) =>
      this.#report(SENTENCES.notSaved(`The setting “${keys.join(', ')}”`, reason(error))),
  });

  constructor(disk: Disk, report: (sentence: string) => void) {
    this.#disk = disk;
    this.#report = report;
  }

  async load(): Promise<void> {
    const { settings, problems, unreadable } = await this.#disk.read(readSettings, {
      settings: defaultSettings(),
      problems: [],
      unreadable: [],
    });
    this.current = settings;
    this.unreadable = unreadable;
    problems.forEach(this.#report);
  }

  /** Takes a new value at once and writes it within a second. Throws a ValiError when it does not fit. */
  set<K extends SettingKey>(key: K, value: Settings[K]): void {
    // Values from a component may be reactive proxies, which the browser cannot store.
    const plain = checkSetting(key, $state.snapshot(value));
    this.current = { ...this.current, [key]: plain };
    const rest = key === 'performances' ? this.unreadable : [];
    this.#saver.set(key, rest.length && Array.isArray(plain) ? [...plain, ...rest] : plain);
  }

  /** Keeps these of the recordings that cannot be read: none to let go of them, what was let go of to take it back. */
  keepUnreadable(kept: readonly unknown[]): void {
    this.unreadable = kept;
    this.set('performances', this.current.performances);
  }

  /** Something waits to be written. */
  get waiting(): boolean {
    return this.#saver.pending.size > 0;
  }

  /** Writes what still waits, beginning synchronously. */
  flush(): Promise<void> {
    return this.#saver.flush();
  }
}
