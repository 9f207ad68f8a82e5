/* eslint svelte/prefer-svelte-reactivity: off -- maps here are not shown */
/**
 * Files that were given and are not read yet, kept over a reload: as a handle where the browser gave one, with their
 * bytes where the person lets audio be kept here, else by name, so that they can be asked for.
 */
import type { Job } from '../queue/job.ts';
import { breath } from '../shell/idle.ts';
import type { Disk } from './disk.ts';
import type { UnreadRecord } from './records.ts';
import { roomFor, type StorageLike } from './room.ts';

/** Files looked at in one task: the browser asks the disk for the size of each. */
const AT_ONCE = 16;

/** A file as the page got it. */
export interface GivenFile {
  file: File;
  /** Where the browser gives one: the file can be read again after a reload. */
  handle?: FileSystemFileHandle;
}

/** Not yet in TypeScript's own types (https://wicg.github.io/file-system-access/#api-filesystemhandle). */
interface WithPermission {
  queryPermission?(descriptor: { mode: 'read' }): Promise<PermissionState>;
  requestPermission?(descriptor: { mode: 'read' }): Promise<PermissionState>;
}

export interface UnreadTools {
  disk: Disk;
  storage: StorageLike | undefined;
  /** Whether the person lets audio be kept in this browser. */
  mayKeep(): boolean;
}

export class UnreadFiles {
  /** Those of the last visit that the person must give again or allow to be read. */
  left = $state.raw<readonly UnreadRecord[]>([]);
  /** Some of `left` may be read, but are not where they were: their drive may be away. */
  lost = $state(false);

  readonly #tools: UnreadTools;
  /** Key of the record of each job that has not ended. */
  readonly #keys = new Map<string, Promise<number | null>>();
  #closing = false;

  constructor(tools: UnreadTools) {
    this.#tools = tools;
  }

  /** Some of `left` can be read again once the person allows it. */
  get canGoOn(): boolean {
    return this.left.some((record) => record.handle);
  }

  /** @returns those files of the last visit that can be read without asking; the rest is `left` */
  async load(): Promise<GivenFile[]> {
    const records = await this.#tools.disk.read<UnreadRecord[]>((db) => db.getAll('unread'), []);
    return this.#take(await divide(records, (handle) => handle.queryPermission?.({ mode: 'read' })));
  }

  /** The person asks to go on: the browser may ask them in turn. @returns what can be read now */
  async goOn(): Promise<GivenFile[]> {
    return this.#take(await divide(this.left, (handle) => handle.requestPermission?.({ mode: 'read' })));
  }

  async #take({ ready, left, lost }: Divided): Promise<GivenFile[]> {
    this.left = left;
    this.lost = lost;
    await this.#delete(ready.map(({ record }) => record.key!));
    return ready.map(({ given }) => given);
  }

  async forget(): Promise<void> {
    const { left } = this;
    this.left = [];
    await this.#delete(left.map(({ key }) => key!));
  }

  /** Notes files that were put into the queue. */
  note(jobs: readonly Job[], given: readonly GivenFile[]): void {
    const fits = (record: UnreadRecord) =>
      given.some(({ file }) => file.name === record.name && file.size === record.size);
    // Given again by hand: nobody need be asked for them any more.
    const again = this.left.filter(fits);
    if (again.length) {
      this.left = this.left.filter((record) => !fits(record));
      void this.#delete(again.map(({ key }) => key!));
    }
    const room = this.#roomFor(given);
    let turn: Promise<unknown> = room;
    for (const [i, job] of jobs.entries()) {
      if (i && i % AT_ONCE === 0) turn = turn.then(breath);
      this.#keys.set(
        job.id,
        turn.then(async () => this.#write(given[i], (await room).enough)),
      );
    }
  }

  /** Whether what is given may be kept here and fits. */
  async #roomFor(given: readonly GivenFile[]): Promise<{ enough: boolean }> {
    if (!this.#tools.mayKeep()) return { enough: false };
    let total = 0;
    for (const [i, { file, handle }] of given.entries()) {
      if (i && i % AT_ONCE === 0) await breath();
      if (!handle) total += file.size;
    }
    return roomFor(total, this.#tools.storage);
  }

  /** A job came to its end: nothing of it is to be read again. */
  ended(job: Job): void {
    const key = this.#keys.get(job.id);
    this.#keys.delete(job.id);
    // The page is being closed: what had to stop goes on at the next visit.
    if (!key || this.#closing) return;
    void key.then((known) => (known === null ? undefined : this.#delete([known])));
  }

  close(): void {
    this.#closing = true;
  }

  #write({ file, handle }: GivenFile, enough: boolean): Promise<number | null> {
    const { name, size } = file;
    const audio = !handle && enough ? { audio: file } : {};
    const record: UnreadRecord = { name, size, ...(handle ? { handle } : {}), ...audio };
    return this.#tools.disk.write(`The place of “${name}” in the queue`, (db) => db.add('unread', record));
  }

  async #delete(keys: readonly number[]): Promise<void> {
    if (!keys.length) return;
    await this.#tools.disk.write('The queue', async (db) => {
      const transaction = db.transaction('unread', 'readwrite');
      for (const key of keys) void transaction.store.delete(key);
      await transaction.done;
    });
  }
}

interface Divided {
  ready: { record: UnreadRecord; given: GivenFile }[];
  left: UnreadRecord[];
  /** Some of `left` may be read, but are not where they were. */
  lost: boolean;
}

type Ask = (handle: WithPermission) => Promise<PermissionState> | undefined;

/** Which can be read now, and which cannot. */
async function divide(records: readonly UnreadRecord[], ask: Ask): Promise<Divided> {
  const divided: Divided = { ready: [], left: [], lost: false };
  for (const record of records) {
    const given = await readable(record, ask);
    if (given && given !== 'lost') divided.ready.push({ record, given });
    else divided.left.push(record);
    if (given === 'lost') divided.lost = true;
  }
  return divided;
}

/** @returns `lost`: it was moved or deleted, or its drive is not there; null: it must be given again or allowed */
async function readable({ name, audio, handle }: UnreadRecord, ask: Ask): Promise<GivenFile | 'lost' | null> {
  if (audio) return { file: new File([audio], name) };
  if (!handle) return null;
  try {
    if (((await ask(handle as WithPermission)) ?? 'granted') !== 'granted') return null;
  } catch {
    return null;
  }
  try {
    return { file: await handle.getFile(), handle };
  } catch {
    return 'lost';
  }
}
