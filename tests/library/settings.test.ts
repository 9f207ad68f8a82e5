import 'fake-indexeddb/auto';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { openDatabase } from '../../src/library/database.ts';
import { createSaver, MAX_AGE_MS, QUIET_MS } from '../../src/library/saver.ts';
import { SENTENCES } from '../../src/library/sentences.ts';
import {
  checkSetting,
  defaultSettings,
  FIRST_VOLUME,
  readSettings,
  SETTING_KEYS,
  writeSettings,
} from '../../src/library/settings.ts';
import { Disk } from '../../src/library/disk.ts';
import { SettingsState } from '../../src/library/settings.svelte.ts';
import { freshName } from './helpers.ts';
import { mix } from './made.ts';

describe('the saver', () => {
  beforeEach(() => {
    vi.useFakeTimers();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  function recording() {
    const batches: Record<string, number>[] = [];
    const saver = createSaver<number>({
      write: async (batch) => void batches.push(Object.fromEntries(batch)),
    });
    return { batches, saver };
  }

  test('writes once it is quiet, the newest value only', () => {
    const { batches, saver } = recording();
    saver.set('volume', 0.1);
    vi.advanceTimersByTime(QUIET_MS - 1);
    saver.set('volume', 0.2);
    vi.advanceTimersByTime(QUIET_MS - 1);
    expect(batches).toEqual([]);
    vi.advanceTimersByTime(1);
    expect(batches).toEqual([{ volume: 0.2 }]);
  });

  test('under changes without pause no change waits longer than the oldest age allowed', () => {
    const { batches, saver } = recording();
    const step = 50;
    let oldestWaiting = 0;
    for (let time = 0, value = 1; time < 5000; time += step, value++) {
      saver.set('volume', value);
      vi.advanceTimersByTime(step);
      const written = batches.at(-1)?.volume ?? 0;
      oldestWaiting = Math.max(oldestWaiting, (value - written) * step);
    }
    expect(oldestWaiting).toBeLessThanOrEqual(MAX_AGE_MS);
    expect(batches.length).toBeLessThanOrEqual(5000 / MAX_AGE_MS + 1);
  });

  test('flush begins to write synchronously', () => {
    const { batches, saver } = recording();
    saver.set('volume', 0.3);
    void saver.flush();
    expect(batches).toEqual([{ volume: 0.3 }]);
    vi.advanceTimersByTime(MAX_AGE_MS);
    expect(batches).toHaveLength(1);
  });

  test('a failed write waits for the next flush and does not overwrite a newer value', async () => {
    const errors: string[][] = [];
    const written: Record<string, number>[] = [];
    let fail = true;
    const saver = createSaver<number>({
      write: async (batch) => {
        if (fail) throw new Error('no');
        written.push(Object.fromEntries(batch));
      },
      onError: (_error, keys) => errors.push(keys),
    });
    saver.set('a', 1);
    saver.set('b', 1);
    const failing = saver.flush();
    saver.set('b', 2);
    await failing;
    expect(errors).toEqual([['a', 'b']]);
    fail = false;
    await saver.flush();
    expect(written).toEqual([{ b: 2, a: 1 }]);
    expect(saver.pending.size).toBe(0);
  });
});

describe('settings', () => {
  test('start low, ask about audio, and every key has a default that fits its own schema', () => {
    const defaults = defaultSettings();
    expect(defaults.volume).toBe(FIRST_VOLUME);
    expect(FIRST_VOLUME).toBeLessThanOrEqual(0.25);
    expect(defaults.keepAudio).toBe('ask');
    for (const key of SETTING_KEYS) expect(checkSetting(key, defaults[key])).toEqual(defaults[key]);
    expect(Object.keys(defaults).sort()).toEqual([...SETTING_KEYS].sort());
  });

  test('come back as they were written; one that does not fit is reported and left where it is', async () => {
    const db = await openDatabase({ name: freshName() });
    const rungs = [{ id: 'r1', profileId: 'overview-only' }];
    const values = new Map<string, unknown>([
      ['volume', 7],
      ['theme', 'paper'],
      ['rungs', rungs],
      ['from-the-future', { a: 1 }],
    ]);
    await writeSettings(db, values, 1);
    const { settings, problems } = await readSettings(db);
    expect(settings).toEqual({ ...defaultSettings(), theme: 'paper', rungs });
    expect(problems).toEqual([SENTENCES.settingUnreadable('volume')]);
    expect((await db.get('settings', 'volume'))?.value).toBe(7);
    expect((await db.get('settings', 'from-the-future'))?.value).toEqual({ a: 1 });
    db.close();
  });

  test('a broken recording costs only itself', async () => {
    const db = await openDatabase({ name: freshName() });
    const broken = [null, { id: 'old' }, { ...mix('c'), performance: 7 }];
    const stored = [mix('a'), ...broken, mix('b'), mix('a')];
    await writeSettings(db, new Map([['performances', stored]]), 1);
    const { settings, problems, unreadable } = await readSettings(db);
    expect(settings.performances).toEqual([mix('a'), mix('b')]);
    expect(unreadable).toEqual([...broken, mix('a')]);
    expect(problems).toEqual([SENTENCES.recordingsUnreadable(4)]);
    db.close();
  });

  describe('a recording that cannot be read', () => {
    const broken = { id: 'old' };
    async function opened() {
      const disk = new Disk({ report: () => {}, name: freshName() });
      await disk.open();
      const db = disk.db!;
      await writeSettings(db, new Map([['performances', [broken, mix('a')]]]), 1);
      const state = new SettingsState(disk, () => {});
      await state.load();
      const stored = async () => {
        await state.flush();
        return (await db.get('settings', 'performances'))?.value;
      };
      return { db, state, stored };
    }

    test('is written back with the others', async () => {
      const { db, state, stored } = await opened();
      state.set('performances', [mix('b'), ...state.current.performances]);
      expect(await stored()).toEqual([mix('b'), mix('a'), broken]);
      db.close();
    });

    test('goes when it is let go of, and comes back when it is taken back', async () => {
      const { db, state, stored } = await opened();
      const gone = state.unreadable;
      expect(gone).toEqual([broken]);
      state.keepUnreadable([]);
      expect(await stored()).toEqual([mix('a')]);
      state.keepUnreadable(gone);
      expect(await stored()).toEqual([mix('a'), broken]);
      db.close();
    });
  });

  test('a value that does not fit is refused', () => {
    expect(() => checkSetting('volume', 1.5)).toThrow();
    expect(() => checkSetting('keepAudio', 'maybe')).toThrow();
    expect(() => checkSetting('palettes', { 'wide-touch': { background: '#000000' } })).toThrow();
  });

  test('one bad value in a batch writes none of it', async () => {
    const db = await openDatabase({ name: freshName() });
    const batch = new Map<string, unknown>([
      ['volume', 0.5],
      ['theme', () => 'paper'],
    ]);
    await expect(writeSettings(db, batch, 1)).rejects.toThrow();
    expect(await db.count('settings')).toBe(0);
    db.close();
  });
});
