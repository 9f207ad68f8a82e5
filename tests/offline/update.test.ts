/** A new version begins only when nothing can be lost by it. */
import type { Workbox } from 'workbox-window';
import { beforeEach, describe, expect, it } from 'vitest';
import { manifest, precache } from '../../.config/offline.ts';
import { hold } from '../../src/offline/holds.ts';
import { Update } from '../../src/offline/update.svelte.ts';
import { words } from '../../src/offline/words.ts';

/** The page's side of a service worker, with `windows` windows open. */
class Registration {
  windows = 1;
  began = 0;
  updates = 0;
  readonly #listeners = new Map<string, () => void>();
  addEventListener = (type: string, listener: () => void) => void this.#listeners.set(type, listener);
  fire = (type: string) => this.#listeners.get(type)?.();
  register = async () => undefined;
  update = async () => void this.updates++;
  messageSW = async () => this.windows;
  messageSkipWaiting = () => {
    this.began++;
    this.fire('controlling');
  };
}

let registration: Registration;
let reloads: number;
let now: number;
let keeps: boolean;
let saves: boolean;
let update: Update;

beforeEach(async () => {
  registration = new Registration();
  [reloads, now, keeps, saves] = [0, 0, true, true];
  update = new Update(
    { keeps: () => keeps, saveAll: async () => saves },
    { workbox: registration as unknown as Workbox, reload: () => void reloads++, now: () => now },
  );
  await update.register();
});

describe('a new version', () => {
  it('waits until the person begins it', async () => {
    await update.begin();
    expect([update.ready, registration.began]).toEqual([false, 0]);
    registration.fire('waiting');
    expect([update.ready, registration.began, reloads]).toEqual([true, 0, 0]);
    await update.begin();
    expect([registration.began, reloads]).toEqual([1, 1]);
  });

  it('does not begin while work would be lost, says why, and begins when it would not', async () => {
    registration.fire('waiting');
    const release = hold(() => 'Something is being done.');
    await update.begin();
    expect(update.sentence).toBe('Something is being done.');
    release();
    registration.windows = 2;
    await update.begin();
    expect(update.sentence).toBe(words.others);
    registration.windows = 1;
    saves = false;
    await update.begin();
    expect(update.sentence).toBe(words.notSaved);
    keeps = false;
    await update.begin();
    expect(update.sentence).toBe(words.nothingKept);
    expect([registration.began, reloads, update.busy]).toEqual([0, 0, false]);
    [keeps, saves] = [true, true];
    await update.begin();
    expect([update.sentence, registration.began, reloads]).toEqual([null, 1, 1]);
  });

  it('is asked for again when the window comes to the front, but not at every turn', async () => {
    await update.ask();
    expect(registration.updates).toBe(0);
    now = 3600_000;
    await update.ask();
    await update.ask();
    expect(registration.updates).toBe(1);
  });
});

describe('what is kept for times without a network', () => {
  it('is every file but maps, with a revision where the name tells nothing of the content', () => {
    const list = precache([
      { fileName: 'index.html', content: 'one' },
      { fileName: 'assets/a-123.js', content: 'x' },
      { fileName: 'assets/a-123.js.map', content: 'x' },
    ]);
    expect(list).toEqual([
      { url: 'assets/a-123.js', revision: null },
      { url: 'index.html', revision: expect.stringMatching(/^[0-9a-f]{16}$/) },
    ]);
    expect(precache([{ fileName: 'index.html', content: 'two' }])[0].revision).not.toBe(list[1].revision);
  });

  it('has a manifest whose places are all relative, so that any folder can serve it', () => {
    const { start_url, scope, id, icons } = manifest() as Record<string, unknown>;
    for (const place of [start_url, scope, id, ...(icons as { src: string }[]).map(({ src }) => src)]) {
      expect(place).not.toMatch(/^\/|:/);
    }
  });
});
