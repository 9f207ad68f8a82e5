import 'fake-indexeddb/auto';
import { describe, expect, test, vi } from 'vitest';
import { ANALYSIS_VERSION } from '../../shared/analysis.ts';
import { replay } from '../../shared/drills/cards.ts';
import { DatabaseFault, openDatabase } from '../../src/library/database.ts';
import { Disk } from '../../src/library/disk.ts';
import {
  latestVersion,
  type LibraryDb,
  type LibrarySchema,
  type LibraryStore,
  type Migration,
  MIGRATIONS,
} from '../../src/library/schema.ts';
import { SENTENCES } from '../../src/library/sentences.ts';
import * as store from '../../src/library/tracks.ts';
import { shippedFile } from '../profiles/files.ts';
import { analysis, freshName, record } from './helpers.ts';
import { answer, booth, round, SESSION, set } from './made.ts';

const NOW = MIGRATIONS.length;
const NEXT = NOW + 1;

/** What a later version could look like: a store for markers, and a field that older tracks lack. */
const ADD_MARKERS: Migration = {
  to: NEXT,
  what: 'Markers per track; tracks say how many they have.',
  async run(db, transaction) {
    (db as unknown as IDBDatabase).createObjectStore('markers', { keyPath: 'id' });
    for await (const cursor of transaction.objectStore('tracks').iterate()) {
      await cursor.update({ ...cursor.value, markerCount: 0 } as typeof cursor.value);
    }
  },
};

async function filled(name: string): Promise<LibraryDb> {
  const db = await openDatabase({ name });
  const cover = new Blob([new Uint8Array([9, 8, 7])], { type: 'image/png' });
  await store.saveTrack(db, { track: record('a'), analysis: analysis(124), cover, now: 5 });
  await store.saveTrack(db, { track: record('b'), analysis: analysis(140), cover: null, now: 6 });
  await store.saveEdit(db, { id: 'a', grid: analysis(125).grid, sections: null, savedAt: 7 });
  await db.put('settings', { key: 'volume', value: 0.4, savedAt: 8 });
  return db;
}

/** One record at least in each store that `db` has. @returns all records by store */
async function filledStores(db: LibraryDb): Promise<Map<LibraryStore, unknown[]>> {
  const records: { [S in LibraryStore]: LibrarySchema[S]['value'] } = {
    tracks: record('a'),
    analyses: await store.analysisRecord('a', analysis(124), 5),
    covers: { id: 'a', cover: new Blob([new Uint8Array([9, 8, 7])]) },
    audio: { id: 'a', audio: new Blob([new Uint8Array([1, 2])]), keptAt: 6 },
    edits: { id: 'a', grid: analysis(125).grid, sections: null, savedAt: 7 },
    profiles: { id: 'mine', file: shippedFile('small-touch'), savedAt: 7 },
    settings: { key: 'volume', value: 0.4, savedAt: 8 },
    answers: answer(1),
    hands: round(1),
    cards: [...replay([answer(1)]).cards.values()][0],
    sessions: { id: 'open', session: SESSION, savedAt: 9 },
    booths: booth(),
    sets: set(),
    unread: { name: 'late.wav', size: 12 },
  };
  const names = [...db.objectStoreNames];
  for (const each of names) await db.put(each, records[each]);
  return new Map(await Promise.all(names.map(async (each) => [each, await db.getAll(each)] as const)));
}

describe('migrations', () => {
  test('count 1, 2, 3… without a gap', () => {
    expect(latestVersion(MIGRATIONS)).toBe(MIGRATIONS.length);
    expect(() => latestVersion([ADD_MARKERS])).toThrow(RangeError);
  });

  test('data of today open under the next version with everything in them', async () => {
    const name = freshName();
    (await filled(name)).close();
    const db = await openDatabase({ name, migrations: [...MIGRATIONS, ADD_MARKERS] });
    expect(db.version).toBe(NEXT);
    expect([...db.objectStoreNames]).toContain('markers');
    const { tracks, outdated } = await store.listTracks(db);
    expect(tracks.map((t) => [t.id, (t as unknown as { markerCount: number }).markerCount])).toEqual([
      ['a', 0],
      ['b', 0],
    ]);
    expect(outdated.size).toBe(0);
    const reading = await store.readAnalysis(db, 'b');
    expect(reading).toEqual({ state: 'current', analysis: analysis(140) });
    const cover = await store.readCover(db, 'a');
    expect(new Uint8Array(await cover!.arrayBuffer())).toEqual(new Uint8Array([9, 8, 7]));
    expect((await store.readEdit(db, 'a'))?.grid?.segments[0].bpm).toBe(125);
    expect((await db.get('settings', 'volume'))?.value).toBe(0.4);
    db.close();
  });

  test('the arrays of a long track stand in a file and come back equal', async () => {
    const name = freshName();
    const db = await openDatabase({ name });
    const long = { ...analysis(126, store.LONG_SECONDS), peak: -Infinity };
    await store.saveTrack(db, { track: record('long'), analysis: long, cover: null, now: 5 });
    const kept = await db.get('analyses', 'long');
    expect(kept?.analysis).toHaveProperty('floats');
    expect(await store.readAnalysis(db, 'long')).toEqual({ state: 'current', analysis: long });
    expect((await store.listTracks(db)).outdated.size).toBe(0);
    db.close();
  });

  test.each(MIGRATIONS.slice(0, -1).map(({ to }) => to))(
    'everything that version %i kept is there, unchanged, when it is opened today',
    async (version) => {
      const name = freshName();
      const old = await openDatabase({ name, migrations: MIGRATIONS.slice(0, version) });
      const kept = await filledStores(old);
      old.close();
      const db = await openDatabase({ name });
      expect(db.version).toBe(NOW);
      for (const [each, records] of kept) expect(await db.getAll(each), each).toEqual(records);
      // What has come since is empty and ready to be written.
      for (const each of db.objectStoreNames) if (!kept.has(each)) expect(await db.getAll(each)).toEqual([]);
      expect((await store.listTracks(db)).tracks.map(({ id }) => id)).toEqual(['a']);
      expect(await store.readAnalysis(db, 'a')).toEqual({ state: 'current', analysis: analysis(124) });
      db.close();
    },
  );

  test('a fresh database runs every step from nothing', async () => {
    const db = await openDatabase({ name: freshName(), migrations: [...MIGRATIONS, ADD_MARKERS] });
    expect([...db.objectStoreNames].sort()).toEqual(
      [
        ...['analyses', 'audio', 'covers', 'edits', 'profiles', 'settings', 'tracks', 'unread'],
        ...['answers', 'hands', 'cards', 'sessions', 'booths', 'sets', 'markers'],
      ].sort(),
    );
    db.close();
  });

  test('a step that fails half-way leaves the old database as it was', async () => {
    const name = freshName();
    (await filled(name)).close();
    const broken: Migration = {
      to: NEXT,
      what: 'Empties the tracks, then fails.',
      async run(_db, transaction) {
        await transaction.objectStore('tracks').clear();
        throw new Error('the step went wrong');
      },
    };
    const attempt = openDatabase({ name, migrations: [...MIGRATIONS, broken] });
    await expect(attempt).rejects.toMatchObject({
      code: 'migration',
      message: SENTENCES.migrationFailed('the step went wrong'),
    });
    const db = await openDatabase({ name });
    expect(db.version).toBe(NOW);
    expect((await store.listTracks(db)).tracks).toHaveLength(2);
    db.close();
  });

  test('a newer database is refused with a sentence and left untouched', async () => {
    const name = freshName();
    const newer = await openDatabase({ name, migrations: [...MIGRATIONS, ADD_MARKERS] });
    await store.saveTrack(newer, { track: record('a'), analysis: analysis(), cover: null, now: 1 });
    newer.close();
    const error = await openDatabase({ name }).catch((e: unknown) => e);
    expect(error).toBeInstanceOf(DatabaseFault);
    expect(error).toMatchObject({ code: 'newer', message: SENTENCES.newerDatabase });
    const again = await openDatabase({ name, migrations: [...MIGRATIONS, ADD_MARKERS] });
    expect((await store.listTracks(again)).tracks).toHaveLength(1);
    again.close();
  });
});

describe('two tabs', () => {
  test('the older tab makes its last writes, closes, and the newer one goes on', async () => {
    const name = freshName();
    const reported: string[] = [];
    let lastWrite: Promise<unknown> | undefined;
    const old = new Disk({
      name,
      report: (sentence) => reported.push(sentence),
      lastCall: () => (lastWrite = old.db!.put('settings', { key: 'volume', value: 0.7, savedAt: 1 })),
    });
    await old.open();
    const newer = await openDatabase({ name, migrations: [...MIGRATIONS, ADD_MARKERS] });
    await lastWrite;
    expect(newer.version).toBe(NEXT);
    expect((await newer.get('settings', 'volume'))?.value).toBe(0.7);
    expect(reported).toEqual([SENTENCES.handedOver]);
    expect(old.db).toBeNull();
    expect(await old.write('x', async () => 'written')).toBeNull();
    newer.close();
  });

  test('a tab that does not let go is named to the person until it does', async () => {
    const name = freshName();
    // Opened without our callbacks: it ignores the request to close.
    const stubborn = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open(name, NOW);
      request.onsuccess = () => resolve(request.result);
    });
    const onBlocked = vi.fn((_sentence: string) => stubborn.close());
    const db = await openDatabase({
      name,
      // The stubborn one made no stores: the last step makes them.
      migrations: [...MIGRATIONS, ADD_MARKERS].map((step, i) => ({
        ...step,
        run: i < NOW ? step.run : (d: LibraryDb) => void MIGRATIONS[0].run(d, null as never),
      })),
      onBlocked,
    });
    expect(onBlocked).toHaveBeenCalledWith(SENTENCES.blocked);
    db.close();
  });

  test('without a usable database the sentence is told and nothing throws', async () => {
    const reported: string[] = [];
    const disk = new Disk({
      report: (sentence) => reported.push(sentence),
      open: async () => {
        throw new DatabaseFault('unavailable', SENTENCES.unavailable('denied'));
      },
    });
    await disk.open();
    expect(reported).toEqual([SENTENCES.unavailable('denied')]);
    expect(await disk.read((db) => store.readCover(db, 'a'), null)).toBeNull();
  });
});

describe('tracks', () => {
  test('a renewed track keeps its place, its name and what was known of it', async () => {
    const db = await openDatabase({ name: freshName() });
    const first = record('a', { secondOpinion: { bpm: 124, offset: 0.1 } });
    await store.saveTrack(db, { track: first, analysis: analysis(124), cover: null, now: 1 });
    await store.saveTrack(db, { track: record('b'), analysis: analysis(), cover: null, now: 1 });
    const renewed = record('a', { name: 'copy of a.wav', addedAt: 99_999 });
    const stored = await store.saveTrack(db, {
      track: renewed,
      analysis: analysis(126),
      cover: null,
      now: 2,
    });
    expect(stored).toMatchObject({ name: 'a.wav', addedAt: 1_000, order: 0, secondOpinion: { bpm: 124 } });
    expect((await store.listTracks(db)).tracks.map((t) => t.id)).toEqual(['a', 'b']);
    expect(await store.readAnalysis(db, 'a')).toMatchObject({
      analysis: { grid: { segments: [{ bpm: 126 }] } },
    });
    db.close();
  });

  test('the order is kept', async () => {
    const db = await filled(freshName());
    await store.orderTracks(db, ['b', 'a']);
    expect((await store.listTracks(db)).tracks.map((t) => t.id)).toEqual(['b', 'a']);
    db.close();
  });

  test('an analysis of another version is kept, flagged, and not handed out as if it were current', async () => {
    const db = await filled(freshName());
    const old = { ...analysis(), version: ANALYSIS_VERSION - 1 };
    await db.put('analyses', { id: 'a', version: old.version, analysis: old as never, analysedAt: 1 });
    await db.delete('analyses', 'b');
    expect((await store.listTracks(db)).outdated).toEqual(new Set(['a', 'b']));
    expect(await store.readAnalysis(db, 'a')).toEqual({ state: 'outdated', version: ANALYSIS_VERSION - 1 });
    expect(await store.readAnalysis(db, 'b')).toEqual({ state: 'missing' });
    expect(await db.count('analyses')).toBe(1);
    db.close();
  });

  test('a removed track keeps everything until it is purged, then nothing of it is left', async () => {
    const db = await filled(freshName());
    await db.put('audio', { id: 'a', audio: new Blob(['x']), keptAt: 1 });
    await store.markRemoved(db, ['a'], 5_000);
    expect(await store.purgeRemoved(db, 4_999)).toEqual([]);
    await store.restoreTracks(db, ['a']);
    expect(await store.purgeRemoved(db, 9_999)).toEqual([]);
    expect((await store.readEdit(db, 'a'))?.grid).not.toBeNull();
    await store.markRemoved(db, ['a'], 5_000);
    expect(await store.purgeRemoved(db, 5_000)).toEqual(['a']);
    const left = await Promise.all(
      (['tracks', 'analyses', 'covers', 'audio', 'edits'] as const).map((name) => db.getAllKeys(name)),
    );
    expect(left).toEqual([['b'], ['b'], [], [], []]);
    db.close();
  });

  test('a track whose analysis cannot be stored is not stored half', async () => {
    const db = await openDatabase({ name: freshName() });
    const bad = { ...analysis(), oops: () => 1 } as never;
    await expect(
      store.saveTrack(db, { track: record('a'), analysis: bad, cover: null, now: 1 }),
    ).rejects.toThrow();
    expect(await db.count('tracks')).toBe(0);
    db.close();
  });
});
