import 'fake-indexeddb/auto';
import { describe, expect, test } from 'vitest';
import {
  dropAllAudio,
  dropAudio,
  keepAudio,
  keptAudioSizes,
  keptAudioIds,
  readAudio,
} from '../../src/library/audio.ts';
import { openDatabase } from '../../src/library/database.ts';
import { hashBlob, recognise } from '../../src/library/recognise.ts';
import {
  askPersistence,
  isQuotaError,
  RESERVE_BYTES,
  roomFor,
  type StorageLike,
} from '../../src/library/room.ts';
import { byteSize, SENTENCES } from '../../src/library/sentences.ts';
import { saveTrack } from '../../src/library/tracks.ts';
import { analysis, freshName, record } from './helpers.ts';

const storage = (free: number): StorageLike => ({
  estimate: async () => ({ quota: free + RESERVE_BYTES + 500, usage: 500 }),
});

async function withTrack() {
  const db = await openDatabase({ name: freshName() });
  await saveTrack(db, { track: record('a'), analysis: analysis(), cover: null, now: 1 });
  return db;
}

describe('room', () => {
  test('counts what is used and leaves a reserve', async () => {
    expect(await roomFor(1000, storage(1000))).toEqual({ enough: true, free: 1000 });
    expect(await roomFor(1001, storage(1000))).toEqual({ enough: false, free: 1000 });
  });

  test('a browser that does not say, or refuses to, leaves it to the write', async () => {
    const refusing: StorageLike = { estimate: () => Promise.reject(new TypeError('private window')) };
    for (const silent of [undefined, {}, refusing]) {
      expect(await roomFor(1e12, silent)).toEqual({ enough: true, free: null });
    }
  });

  test('persistence is asked for once it is not granted yet', async () => {
    expect(await askPersistence({ persisted: async () => true })).toBe('granted');
    expect(await askPersistence({ persisted: async () => false, persist: async () => false })).toBe(
      'refused',
    );
    expect(await askPersistence(undefined)).toBe('unknown');
  });

  test('a quota error is known by its name, also as the cause of another', () => {
    const quota = new DOMException('full', 'QuotaExceededError');
    expect(isQuotaError(quota)).toBe(true);
    expect(isQuotaError(new Error('could not', { cause: quota }))).toBe(true);
    expect(isQuotaError(new DOMException('stop', 'AbortError'))).toBe(false);
    expect(isQuotaError('QuotaExceededError')).toBe(false);
  });

  test('sizes in words', () => {
    expect([0, 999, 1000, 9_940, 12_345_678, 999_600, 2_000_000_000].map(byteSize)).toEqual([
      '0 bytes',
      '999 bytes',
      '1.0 kB',
      '9.9 kB',
      '12 MB',
      '1.0 MB',
      '2.0 GB',
    ]);
  });
});

describe('kept audio', () => {
  test('comes back byte by byte, and all of it can be dropped', async () => {
    const db = await withTrack();
    const audio = new Blob([new Uint8Array([1, 2, 3, 250])], { type: 'audio/mpeg' });
    expect(await keepAudio(db, record('a'), audio, storage(1e6), 1)).toEqual({ kept: true, sentence: null });
    const back = await readAudio(db, 'a');
    expect(back?.type).toBe('audio/mpeg');
    expect(new Uint8Array(await back!.arrayBuffer())).toEqual(new Uint8Array([1, 2, 3, 250]));
    expect(await keptAudioIds(db)).toEqual(new Set(['a']));
    await dropAllAudio(db);
    expect(await readAudio(db, 'a')).toBeNull();
    db.close();
  });

  test('without room nothing is written and the sentence says how much is missing', async () => {
    const db = await withTrack();
    const audio = new Blob([new Uint8Array(5000)]);
    const keeping = await keepAudio(db, record('a'), audio, storage(1200), 1);
    expect(keeping).toEqual({ kept: false, sentence: SENTENCES.noRoomForAudio('a.wav', 5000, 1200) });
    expect(keeping.sentence).toContain('5.0 kB needed, 1.2 kB to spare');
    expect(await db.count('audio')).toBe(0);
    db.close();
  });

  test('a write that hits the quota all the same is told like one that was foreseen', async () => {
    const db = await withTrack();
    const full = new Proxy(db, {
      get(target, name) {
        if (name !== 'transaction') return Reflect.get(target, name, target) as unknown;
        return (...args: Parameters<typeof db.transaction>) => {
          const transaction = target.transaction(...args);
          return new Proxy(transaction, {
            get(inner, key) {
              if (key === 'error') return new DOMException('disk full', 'QuotaExceededError');
              if (key === 'objectStore')
                return (store: 'audio' | 'tracks') => {
                  if (store === 'audio') throw new DOMException('aborted', 'AbortError');
                  return inner.objectStore(store);
                };
              const value = Reflect.get(inner, key, inner) as unknown;
              return typeof value === 'function' ? value.bind(inner) : value;
            },
          });
        };
      },
    });
    const keeping = await keepAudio(full, record('a'), new Blob(['audio']), undefined, 1);
    expect(keeping).toEqual({ kept: false, sentence: SENTENCES.noRoomForAudio('a.wav', 5, null) });
    expect(await db.count('audio')).toBe(0);
    db.close();
  });

  test('audio of a track that is gone is not kept', async () => {
    const db = await withTrack();
    expect(await keepAudio(db, record('gone'), new Blob(['x']), undefined, 1)).toEqual({
      kept: false,
      sentence: null,
    });
    expect(await db.count('audio')).toBe(0);
    db.close();
  });
});

describe('recognising a file', () => {
  test('the hash is SHA-256, over more than one piece too', async () => {
    // FIPS 180-4 example: SHA-256("abc"); and one million times "a" (NIST CSRC, "SHA examples").
    expect(await hashBlob(new Blob(['abc']))).toBe(
      'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
    );
    expect(await hashBlob(new Blob(['a'.repeat(1_000_000)]))).toBe(
      'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0',
    );
    const large = new Uint8Array(2_500_000).map((_, i) => i * 31);
    const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', large));
    const hex = [...digest].map((byte) => byte.toString(16).padStart(2, '0')).join('');
    expect(await hashBlob(new Blob([large]))).toBe(hex);
  });

  test('by content only: another name is the same track, the same name and size with other content is not', async () => {
    const blob = new Blob(['content one']);
    const tracks = [{ id: await hashBlob(blob), size: blob.size }];
    expect(await recognise(new File(['content one'], 'renamed.wav'), tracks)).toBe(tracks[0].id);
    expect(await recognise(new Blob(['content two']), tracks)).toBeNull();
    expect(await recognise(new Blob(['content one, longer']), tracks)).toBeNull();
  });

  test('a file of another size is not even read', async () => {
    const unreadable = { size: 5, slice: () => expect.fail('read') } as unknown as Blob;
    expect(await recognise(unreadable, [{ id: 'a', size: 6 }])).toBeNull();
  });

  test('can be aborted', async () => {
    const abort = new AbortController();
    abort.abort();
    await expect(hashBlob(new Blob(['abc']), abort.signal)).rejects.toMatchObject({ name: 'AbortError' });
  });
});

test('tells how much is kept of each track, and lets go of the chosen ones', async () => {
  const db = await withTrack();
  await saveTrack(db, { track: record('b'), analysis: analysis(), cover: null, now: 1 });
  await keepAudio(db, { id: 'a', name: 'a.wav' }, new Blob(['12345']), undefined, 1);
  await keepAudio(db, { id: 'b', name: 'b.wav' }, new Blob(['123']), undefined, 1);
  expect(await keptAudioSizes(db)).toEqual(
    new Map([
      ['a', 5],
      ['b', 3],
    ]),
  );
  await dropAudio(db, ['a', 'unknown']);
  expect([...(await keptAudioIds(db))]).toEqual(['b']);
});
