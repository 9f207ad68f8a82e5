/** Installs the service worker, and begins a new version at the person's wish, never under their hands. */
import { Workbox } from 'workbox-window';
import { held } from './holds.ts';
import { COUNT_WINDOWS } from './messages.ts';
import { words } from './words.ts';

/** A window that stays open asks for a new version when it comes to the front, at most this often, ms. */
const ASK_EVERY = 3600_000;

/** What the person's work needs before the page starts anew. */
export interface Saving {
  /** Whether anything outlives the page here. */
  keeps(): boolean;
  /** Writes all that waits. @returns whether all of it was written */
  saveAll(): Promise<boolean>;
}

export interface UpdateTools {
  /** Null where there are none (no secure context, or while developing). */
  workbox: Workbox | null;
  reload(): void;
  now(): number;
}

export class Update {
  /** A new version waits. */
  ready = $state(false);
  /** The person chose the next start. */
  postponed = $state(false);
  busy = $state(false);
  /** Why it did not begin. */
  sentence = $state<string | null>(null);

  readonly #saving: Saving;
  readonly #tools: UpdateTools;
  #asked = 0;

  constructor(saving: Saving, tools: UpdateTools = browserTools()) {
    this.#saving = saving;
    this.#tools = tools;
  }

  /** Never throws: without it the app works as before, but only with a network. */
  async register(): Promise<void> {
    const { workbox, now } = this.#tools;
    if (!workbox) return;
    workbox.addEventListener('waiting', () => (this.ready = true));
    this.#asked = now();
    await workbox.register().catch(() => undefined);
  }

  /** The window came to the front. */
  async ask(): Promise<void> {
    const { workbox, now } = this.#tools;
    if (!workbox || now() - this.#asked < ASK_EVERY) return;
    this.#asked = now();
    await workbox.update().catch(() => undefined);
  }

  postpone(): void {
    this.postponed = true;
  }

  /** Saves everything and begins the waiting version; when that may not be now, says why and does nothing. */
  async begin(): Promise<void> {
    const { workbox, reload } = this.#tools;
    if (!workbox || !this.ready || this.busy) return;
    this.busy = true;
    this.sentence = await this.#hindrance(workbox);
    if (this.sentence) {
      this.busy = false;
      return;
    }
    workbox.addEventListener('controlling', reload);
    workbox.messageSkipWaiting();
  }

  async #hindrance(workbox: Workbox): Promise<string | null> {
    const why = held();
    if (why) return why;
    if (!this.#saving.keeps()) return words.nothingKept;
    const windows = (await workbox.messageSW({ type: COUNT_WINDOWS })) as number;
    if (windows > 1) return words.others;
    return (await this.#saving.saveAll()) ? null : words.notSaved;
  }
}

function browserTools(): UpdateTools {
  const possible = import.meta.env.PROD && 'serviceWorker' in navigator;
  const base = import.meta.env.BASE_URL;
  return {
    workbox: possible ? new Workbox(`${base}sw.js`, { scope: base }) : null,
    reload: () => location.reload(),
    now: () => Date.now(),
  };
}
