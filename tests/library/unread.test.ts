import 'fake-indexeddb/auto';
import { describe, expect, test } from 'vitest';
import { AnalysisQueue } from '../../src/queue/queue.ts';
import { Disk } from '../../src/library/disk.ts';
import { RESERVE_BYTES } from '../../src/library/room.ts';
import { type GivenFile, UnreadFiles } from '../../src/library/unread.svelte.ts';
import { FakeWorker, file, freshName, until, workingWorker } from './helpers.ts';

/** A visit with a queue whose files are noted, as the library does it. */
async function visit(
  name: string,
  {
    keep = false,
    free = 1e9,
    make = workingWorker,
  }: { keep?: boolean; free?: number; make?: () => FakeWorker } = {},
) {
  const disk = new Disk({ report: (sentence) => expect.fail(sentence), name });
  await disk.open();
  const storage = { estimate: async () => ({ quota: free + RESERVE_BYTES, usage: 0 }) };
  const unread = new UnreadFiles({ disk, storage, mayKeep: () => keep });
  const queue = new AnalysisQueue({
    createWorker: make,
    recognise: async () => null,
    known: () => {},
    accept: () => {},
  });
  queue.on('ended', (job) => unread.ended(job));
  const ready = await unread.load();
  const add = (...given: GivenFile[]) =>
    unread.note(queue.add(given.map((g) => ({ file: g.file, name: g.file.name }))), given);
  const stored = () => disk.read((db) => db.getAll('unread'), []);
  const leave = () => {
    unread.close();
    queue.dispose();
    disk.close();
  };
  return { unread, queue, ready, add, stored, leave };
}

/** A worker that never gets anywhere. */
const stuck = () => new FakeWorker();

describe('files that are not read yet', () => {
  test('are asked for by name after a visit that was cut short, and forgotten once they are given', async () => {
    const name = freshName();
    const first = await visit(name, { make: stuck });
    first.add({ file: file('a.wav') }, { file: file('b.wav') });
    await until(async () => (await first.stored()).length === 2);
    first.leave();
    const second = await visit(name);
    expect(second.ready).toEqual([]);
    expect(second.unread.left.map((r) => [r.name, r.audio])).toEqual([
      ['a.wav', undefined],
      ['b.wav', undefined],
    ]);
    expect(second.unread.canGoOn).toBe(false);
    second.add({ file: file('b.wav') });
    expect(second.unread.left.map((r) => r.name)).toEqual(['a.wav']);
    await second.queue.idle();
    await until(async () => (await second.stored()).length === 1);
    await second.unread.forget();
    expect(await second.stored()).toEqual([]);
    second.leave();
  });

  test('go on by themselves where audio may be kept and there is room for it', async () => {
    const name = freshName();
    const first = await visit(name, { keep: true, make: stuck });
    first.add({ file: file('a.wav') });
    await until(async () => (await first.stored()).length === 1);
    first.leave();
    const second = await visit(name, { keep: true });
    expect(second.ready.map((g) => g.file.name)).toEqual(['a.wav']);
    expect(await second.ready[0].file.text()).toBe(await file('a.wav').text());
    expect(await second.stored()).toEqual([]);
    second.leave();
    const poor = await visit(freshName(), { keep: true, free: 1, make: stuck });
    poor.add({ file: file('a.wav') });
    await until(async () => (await poor.stored()).length === 1);
    expect((await poor.stored())[0].audio).toBeUndefined();
    poor.leave();
  });

  test('leave nothing behind when they were read, refused or stopped', async () => {
    const { add, queue, stored, leave } = await visit(freshName(), { make: stuck });
    add({ file: file('a.wav') });
    await until(async () => (await stored()).length === 1);
    queue.cancelAll();
    await until(async () => (await stored()).length === 0);
    leave();
    const quick = await visit(freshName());
    quick.add({ file: file('a.wav') }, { file: file('b.wav') });
    await quick.queue.idle();
    await until(async () => (await quick.stored()).length === 0);
    quick.leave();
  });
});
