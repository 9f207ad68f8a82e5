/** The whole library into one file and back: equal, merged without loss, asked on conflict, all or nothing. */
import 'fake-indexeddb/auto';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { joinMarkers } from '../../shared/exchange/join.ts';
import { faultOf, type Marker } from '../../shared/markers/marker.ts';
import {
  BackupFault,
  carryOut,
  planImport,
  readBackup,
  writeBackup,
  type Choice,
  type ImportPlan,
} from '../../src/library/backup.ts';
import { openDatabase } from '../../src/library/database.ts';
import type { CorrectionStep, EditRecord } from '../../src/library/records.ts';
import type { LibraryDb } from '../../src/library/schema.ts';
import * as store from '../../src/library/tracks.ts';
import { current, readHistory, undo } from '../../src/mark/history.ts';
import { anyMarkers } from '../exchange/arbitrary.ts';
import { shippedFile } from '../profiles/files.ts';
import { analysis, freshName, record } from './helpers.ts';

const NAME = 'night.jsonl';
const NOW = 1_764_000_000_000;
const STORES = ['tracks', 'edits', 'profiles', 'settings', 'analyses'] as const;

const open = () => openDatabase({ name: freshName() });

const step = (what: string, markers: Marker[] | null): CorrectionStep => ({
  what,
  grid: null,
  sections: null,
  markers,
});

/** Corrections whose last step is in force. */
function edit(id: string, steps: CorrectionStep[]): EditRecord {
  const { what: _what, ...state } = steps[steps.length - 1];
  return { ...state, id, history: { steps: [step('', null), ...steps], at: steps.length }, savedAt: 1 };
}

const mark = (id: string, time: number): Marker => ({ kind: 'mark', id, time, name: id, importance: 2 });
const cue = (id: string, time: number, slot: number): Marker => ({
  kind: 'cue',
  id,
  time,
  name: id,
  importance: 3,
  slot,
  colour: null,
});

async function put(db: LibraryDb, id: string, edits: EditRecord | null): Promise<void> {
  const cover = new Blob([Uint8Array.of(1, 2, id.charCodeAt(0))], { type: 'image/png' });
  await store.saveTrack(db, { track: record(id), analysis: analysis(), cover, now: 1 });
  if (edits) await store.saveEdit(db, edits);
}

async function filled(): Promise<LibraryDb> {
  const db = await open();
  await put(
    db,
    'a',
    edit('a', [step('Place', [mark('m1', 1)]), step('Place', [mark('m1', 1), cue('c1', 2, 1)])]),
  );
  await put(db, 'b', null);
  await db.put(
    'tracks',
    record('quiet', { order: 7, summary: { ...record('x').summary, loudnessDb: -Infinity } }),
  );
  const file = { ...shippedFile('small-touch'), id: 'mine' };
  await db.put('profiles', { id: 'mine', file, savedAt: 3 });
  await db.put('settings', { key: 'volume', value: 0.4, savedAt: 2 });
  await db.put('settings', { key: 'palettes', value: { mine: file.palette }, savedAt: 2 });
  return db;
}

async function contents(db: LibraryDb) {
  const plain = await Promise.all(STORES.map((name) => db.getAll(name)));
  const covers = await Promise.all(
    (await db.getAll('covers')).map(async ({ id, cover }) => [id, cover.type, await cover.text()]),
  );
  return [...plain, covers];
}

const saved = async (db: LibraryDb, analyses = true) => writeBackup(db, { now: NOW, analyses });

async function planOf(db: LibraryDb, file: Blob): Promise<ImportPlan> {
  return planImport(db, await readBackup(file, NAME));
}

const all = (plan: ImportPlan, choice: Choice) =>
  new Map(plan.conflicts.map((c) => [c.id, c.choices.includes(choice) ? choice : 'mine'] as const));

async function faultIn(file: Blob): Promise<string> {
  const error = await readBackup(file, NAME).catch((e: unknown) => e);
  expect(error).toBeInstanceOf(BackupFault);
  return (error as Error).message;
}

describe('a backup', () => {
  test('restored into an empty library gives an equal one, and the same file again', async () => {
    const db = await filled();
    const file = await saved(db);
    const empty = await open();
    const plan = await planOf(empty, file);
    expect(plan.conflicts).toEqual([]);
    expect(plan.same).toEqual([]);
    expect(await contents(empty)).toEqual([[], [], [], [], [], []]);
    const { written, notes } = await carryOut(empty, plan, new Map(), NOW);
    expect([written, notes]).toEqual([plan.added.length, []]);
    const before = await contents(db);
    const after = await contents(empty);
    // The list is numbered anew, in the same order; the time of an analysis is that of the backup.
    const numbered = (tracks: unknown[]) =>
      store.inOrder(tracks as never[]).map((t: object) => ({ ...t, order: 0 }));
    expect(numbered(after[0])).toEqual(numbered(before[0]));
    expect(after.slice(1, 4)).toEqual(before.slice(1, 4));
    const pictures = (list: unknown[]) => (list as { analysis: unknown }[]).map((a) => a.analysis);
    expect(pictures(after[4])).toEqual(pictures(before[4]));
    expect(after[5]).toEqual(before[5]);
    const again = await planOf(empty, file);
    expect([again.added, again.continued, again.conflicts]).toEqual([[], [], []]);
  });

  test('leaves out analyses unless asked, and tracks that are being removed', async () => {
    const db = await filled();
    await store.markRemoved(db, ['a'], 5);
    const backup = await readBackup(await saved(db, false), NAME);
    expect(backup.tracks.map((t) => t.id)).toEqual(['b', 'quiet']);
    expect(backup.edits).toEqual([]);
    expect([...backup.covers]).toEqual(['b']);
    expect(backup.analyses.size).toBe(0);
  });

  test('brings back a track that is being removed here', async () => {
    const db = await filled();
    const file = await saved(db);
    await store.markRemoved(db, ['a'], 5);
    const plan = await planOf(db, file);
    expect(plan.added.map((i) => i.what)).toEqual(['“Title of a”']);
    await carryOut(db, plan, new Map(), NOW);
    expect((await db.get('tracks', 'a'))?.removedAt).toBeNull();
  });
});

describe('a file that is no good', () => {
  test('gets one sentence and changes nothing', async () => {
    const file = await saved(await filled());
    const text = await file.text();
    const lines = text.split('\n');
    expect(await faultIn(new Blob([]))).toBe(
      '“night.jsonl” is no backup of Boothproof: choose a file that was saved as one.',
    );
    expect(await faultIn(new Blob(['{"a":1}\n']))).toContain('is no backup of Boothproof');
    expect(await faultIn(new Blob([lines.slice(0, 4).join('\n')]))).toMatch(
      /is cut short after \d records: nothing/,
    );
    expect(await faultIn(new Blob([text.slice(0, -120)]))).toMatch(/is cut short after \d+ records/);
    expect(await faultIn(new Blob([text.replace('"savedAt":2', '"savedAt":4')]))).toContain(
      'checksum is wrong',
    );
    expect(await faultIn(new Blob([text.replace('{"store":"edits"', '{"store":edits"')]))).toMatch(
      /is damaged \(line \d\): nothing was restored/,
    );
    expect(await faultIn(new Blob([text.replace('"version":1', '"version":2')]))).toContain(
      'newer Boothproof',
    );
    expect(await faultIn(new Blob([text.replace('"importance":2', '"importance":9')]))).toMatch(
      /does not fit in line 5 \(edits\): .*importance is 9/,
    );
    expect(await faultIn(new Blob([text, 'more\n']))).toContain('is damaged');
  });

  test('is never restored in part, wherever it was damaged', async () => {
    const bytes = new Uint8Array(await (await saved(await filled(), false)).arrayBuffer());
    await fc.assert(
      fc.asyncProperty(fc.nat(bytes.length - 1), fc.integer({ min: 1, max: 255 }), async (at, by) => {
        const changed = bytes.slice();
        changed[at] ^= by;
        expect(await faultIn(new Blob([changed]))).toMatch(/^“night\.jsonl” .*\.$/s);
      }),
      { numRuns: 150 },
    );
  });
});

describe('a conflict', () => {
  async function both(mineSteps: CorrectionStep[], theirSteps: CorrectionStep[]) {
    const other = await open();
    await put(other, 'a', edit('a', theirSteps));
    const db = await open();
    await put(db, 'a', edit('a', mineSteps));
    return { db, plan: await planOf(db, await saved(other)) };
  }
  const first = step('Place', [cue('c1', 1, 1)]);
  const mineNext = step('Name', [cue('c1', 1, 1), mark('mine', 5)]);
  const theirNext = step('Shift', [cue('c1', 1.5, 1), mark('theirs', 6)]);

  test('is asked about, and nothing is written without an answer', async () => {
    const { db, plan } = await both([first, mineNext], [first, theirNext]);
    expect(plan.conflicts).toMatchObject([
      { id: 'edits a', what: 'corrections and markers of “Title of a”', choices: ['mine', 'theirs', 'both'] },
    ]);
    const before = await contents(db);
    await expect(carryOut(db, plan, new Map(), NOW)).rejects.toThrow(
      'Nothing was restored: choose first what becomes of the corrections and markers of “Title of a”.',
    );
    expect(await contents(db)).toEqual(before);
  });

  test('mine stays; theirs and both can be undone back to mine', async () => {
    for (const choice of ['mine', 'theirs', 'both'] as const) {
      const { db, plan } = await both([first, mineNext], [first, theirNext]);
      await carryOut(db, plan, all(plan, choice), NOW);
      const edits = (await store.readEdit(db, 'a'))!;
      const times = (edits.markers ?? []).map((m) => [m.id, m.time, m.kind === 'cue' ? m.slot : undefined]);
      const expected = {
        mine: [
          ['c1', 1, 1],
          ['mine', 5, undefined],
        ],
        theirs: [
          ['c1', 1.5, 1],
          ['theirs', 6, undefined],
        ],
        // The cue that both have in slot 1 at two places keeps the slot where I have it.
        both: [
          ['c1', 1, 1],
          ['c1-2', 1.5, null],
          ['mine', 5, undefined],
          ['theirs', 6, undefined],
        ],
      };
      expect(times, choice).toEqual(expected[choice]);
      let history = readHistory(edits);
      expect(current(history).markers, choice).toEqual(edits.markers);
      const states = [current(history)];
      while (history.at > 0) states.push(current((history = undo(history))));
      expect(
        states.map((s) => s.markers),
        choice,
      ).toContainEqual(mineNext.markers);
      if (choice !== 'mine') expect(states.map((s) => s.markers)).toContainEqual(theirNext.markers);
    }
  });

  test('is none where one side only went on', async () => {
    const ahead = await both([first], [first, theirNext]);
    expect(ahead.plan.conflicts).toEqual([]);
    expect(ahead.plan.continued.map((i) => i.store)).toEqual(['edits']);
    await carryOut(ahead.db, ahead.plan, new Map(), NOW);
    expect((await store.readEdit(ahead.db, 'a'))!.markers).toEqual(theirNext.markers);
    const behind = await both([first, mineNext], [first]);
    expect([behind.plan.conflicts, behind.plan.continued]).toEqual([[], []]);
    expect(behind.plan.same.map((i) => i.store)).toEqual(['tracks', 'edits']);
  });

  test('of profiles and settings: a profile can be kept twice, tables are joined', async () => {
    const db = await filled();
    const file = await saved(db);
    const mine = (await db.get('profiles', 'mine'))!;
    await db.put('profiles', { ...mine, file: { ...mine.file, richness: 1 } });
    await db.put('settings', { key: 'volume', value: 0.1, savedAt: 9 });
    await db.put('settings', { key: 'palettes', value: { other: mine.file.palette }, savedAt: 9 });
    const plan = await planOf(db, file);
    expect(plan.conflicts.map((c) => [c.id, c.choices.length])).toEqual([
      ['profiles mine', 3],
      ['settings palettes', 3],
      ['settings volume', 2],
    ]);
    await carryOut(db, plan, all(plan, 'both'), NOW);
    expect((await db.get('profiles', 'mine'))!.file.richness).toBe(1);
    const copy = (await db.get('profiles', 'mine-2'))!;
    expect(copy.file).toEqual({ ...mine.file, id: 'mine-2', name: `${mine.file.name} (backup)` });
    expect((await db.get('settings', 'volume'))!.value).toBe(0.1);
    expect(Object.keys((await db.get('settings', 'palettes'))!.value as object).sort()).toEqual([
      'mine',
      'other',
    ]);
  });

  test('with a library that changed meanwhile writes nothing', async () => {
    const { db, plan } = await both([first, mineNext], [first, theirNext]);
    await store.saveEdit(db, edit('a', [first]));
    const before = await contents(db);
    await expect(carryOut(db, plan, all(plan, 'theirs'), NOW)).rejects.toThrow(
      'Nothing was restored: the library has changed since “night.jsonl” was compared with it. Compare again.',
    );
    expect(await contents(db)).toEqual(before);
  });

  test('a write that fails takes back those before it', async () => {
    const db = await open();
    const plan = await planOf(db, await saved(await filled()));
    plan.writes.push({ ...plan.writes[0], key: 'z', record: { oops: () => 1 } } as never);
    await expect(carryOut(db, plan, new Map(), NOW)).rejects.toThrow();
    expect(await contents(db)).toEqual([[], [], [], [], [], []]);
  });
});

describe('merging loses nothing', () => {
  test('joined markers hold all of mine unchanged and every place of theirs, whatever they are', () => {
    fc.assert(
      fc.property(anyMarkers(), anyMarkers(), (mine, theirs) => {
        const joined = joinMarkers(mine, theirs);
        expect(faultOf(joined)).toBeNull();
        for (const m of mine) expect(joined).toContainEqual(m);
        const place = (m: Marker) =>
          JSON.stringify([m.kind, m.time, m.name, m.kind === 'loop' ? m.endTime : 0]);
        const places = new Set(joined.map(place));
        for (const m of theirs) expect(places.has(place(m))).toBe(true);
        expect(joinMarkers(joined, mine)).toEqual(joined);
      }),
    );
  });

  test('whatever is chosen but “theirs”, every marker of mine is in force afterwards; with it, in the history', async () => {
    await fc.assert(
      fc.asyncProperty(
        anyMarkers(5),
        anyMarkers(5),
        fc.constantFrom<Choice>('mine', 'theirs', 'both'),
        async (mine, theirs, choice) => {
          const other = await open();
          await put(other, 'a', edit('a', [step('Place', theirs)]));
          await put(other, 'b', edit('b', [step('Place', theirs)]));
          const db = await open();
          await put(db, 'a', edit('a', [step('Place', mine)]));
          await put(db, 'c', edit('c', [step('Place', mine)]));
          const plan = await planOf(db, await saved(other, false));
          await carryOut(db, plan, all(plan, choice), NOW);
          expect((await db.getAllKeys('tracks')).sort()).toEqual(['a', 'b', 'c']);
          expect((await store.readEdit(db, 'b'))!.markers).toEqual(theirs);
          expect((await store.readEdit(db, 'c'))!.markers).toEqual(mine);
          const after = (await store.readEdit(db, 'a'))!;
          if (choice !== 'theirs') for (const m of mine) expect(after.markers).toContainEqual(m);
          expect(readHistory(after).steps.map((s) => s.markers)).toContainEqual(mine);
          [db, other].forEach((d) => d.close());
        },
      ),
      { numRuns: 40 },
    );
  });
});
