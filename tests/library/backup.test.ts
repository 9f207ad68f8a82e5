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
import { DAY_MS, replay } from '../../shared/drills/cards.ts';
import type { AnswerRecord, Session } from '../../shared/drills/types.ts';
import { lineOf } from '../../src/library/backup-format.ts';
import { anyMarkers } from '../exchange/arbitrary.ts';
import { shippedFile, shippedText } from '../profiles/files.ts';
import { analysis, freshName, record } from './helpers.ts';
import { answer, booth, KEY, mix, round, SESSION, set, train } from './made.ts';

const NAME = 'night.jsonl';
const NOW = 1_764_000_000_000;
const STORES = [
  ...(['tracks', 'edits', 'profiles', 'settings', 'analyses'] as const),
  ...(['booths', 'sets', 'answers', 'hands', 'cards', 'sessions'] as const),
];
const NOTHING = Array.from({ length: STORES.length + 1 }, () => []);

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
  await db.put('booths', booth());
  await db.put('sets', set());
  await train(db, [answer(1), answer(2, { errorBars: -0, baseline: true }), answer(3)], [round(4)]);
  await db.put('sessions', { id: 'open', session: SESSION, savedAt: 4 });
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
    expect(await contents(empty)).toEqual(NOTHING);
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
    expect(after.slice(5)).toEqual(before.slice(5));
    for (const store of before.slice(5)) expect(store.length).toBeGreaterThan(0);
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

describe('a backup of version 1', () => {
  /** As version 1 wrote it: four kinds of records, none of drills or gigs. */
  async function old(): Promise<Blob> {
    const records = [
      { store: 'tracks', record: record('a') },
      { store: 'edits', record: edit('a', [step('Place', [mark('m1', 1)])]) },
      { store: 'settings', record: { key: 'volume', value: 0.4, savedAt: 2 } },
    ];
    const head = { format: 'boothproof-backup', version: 1, writtenAt: NOW };
    const body = [head, ...records].map((line) => `${lineOf(line)}\n`).join('');
    const bytes = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(body));
    const sha256 = Buffer.from(bytes).toString('hex');
    return new Blob([body, `${lineOf({ end: true, records: records.length, sha256 })}\n`]);
  }

  test('is still restored, and leaves what it knows nothing of alone', async () => {
    const db = await open();
    await train(db, [answer(1)], [round(2)]);
    await db.put('booths', booth());
    const before = await contents(db);
    const plan = await planOf(db, await old());
    expect(plan.added.map((i) => i.store)).toEqual(['tracks', 'edits', 'settings']);
    expect(plan.conflicts).toEqual([]);
    await carryOut(db, plan, new Map(), NOW);
    expect((await store.readEdit(db, 'a'))!.markers).toEqual([mark('m1', 1)]);
    expect((await contents(db)).slice(5, 11)).toEqual(before.slice(5, 11));
  });
});

describe('training on two computers', () => {
  const cardOf = async (db: LibraryDb, key = KEY) => db.get('cards', key);

  test('answers and rounds of both are kept, each once, and the schedule is that of all of them', async () => {
    const both = [answer(1), answer(2)];
    const db = await open();
    await train(db, [...both, answer(5, { grade: 1, hit: false })], [round(3)]);
    const other = await open();
    await train(other, [...both, answer(7)], [round(3), round(4, 5)]);
    const file = await saved(other);
    const plan = await planOf(db, file);
    expect(plan.conflicts).toEqual([]);
    expect(plan.added.map((i) => i.store)).toEqual(['answers', 'hands']);
    expect(plan.continued.map((i) => i.store)).toEqual(['cards', 'cards']);
    await carryOut(db, plan, new Map(), NOW);
    const answers = await db.getAll('answers');
    expect(answers.map(({ at }) => at / DAY_MS).sort()).toEqual([1, 2, 5, 7]);
    const { cards } = replay([...answers, ...(await db.getAll('hands'))]);
    expect(await cardOf(db)).toEqual(cards.get(KEY));
    // The hand drill's card is simply further on there.
    expect(await cardOf(db, round(1).key)).toEqual(await cardOf(other, round(1).key));
    const again = await planOf(db, file);
    expect([again.added, again.continued, again.conflicts]).toEqual([[], [], []]);
  });

  test('a schedule that is further on here stays', async () => {
    const other = await open();
    await train(other, [answer(1)]);
    const file = await saved(other);
    const db = await open();
    await train(db, [answer(1), answer(6)]);
    const plan = await planOf(db, file);
    expect([plan.added, plan.continued, plan.conflicts, plan.writes]).toEqual([[], [], [], []]);
  });

  test('a schedule that the same answers do not explain is asked about', async () => {
    const other = await open();
    await train(other, [answer(1)]);
    await other.put('cards', { ...(await cardOf(other))!, stability: 99 });
    const file = await saved(other);
    const db = await open();
    await train(db, [answer(1)]);
    const plan = await planOf(db, file);
    expect(plan.conflicts).toMatchObject([
      {
        id: `cards ${KEY}`,
        what: 'schedule of “Find the drop” on the deck small-touch',
        choices: ['mine', 'theirs'],
      },
    ]);
    await carryOut(db, plan, all(plan, 'theirs'), NOW);
    expect((await cardOf(db))!.stability).toBe(99);
  });

  test('whatever both have, no answer is lost or doubled, and cards are the replay of all', async () => {
    const days = fc.uniqueArray(fc.integer({ min: 1, max: 60 }), { maxLength: 8 });
    const graded = (day: number) => answer(day, { grade: ((day % 4) + 1) as AnswerRecord['grade'] });
    await fc.assert(
      fc.asyncProperty(days, days, async (mine, theirs) => {
        const [db, other] = [await open(), await open()];
        await train(db, mine.map(graded));
        await train(other, theirs.map(graded));
        const plan = await planOf(db, await saved(other, false));
        await carryOut(db, plan, all(plan, 'mine'), NOW);
        const kept = await db.getAll('answers');
        const union = [...new Set([...mine, ...theirs])].sort((a, b) => a - b);
        expect(kept.map(({ at }) => at / DAY_MS).sort((a, b) => a - b)).toEqual(union);
        expect(await cardOf(db)).toEqual(replay(kept).cards.get(KEY));
        [db, other].forEach((d) => d.close());
      }),
      { numRuns: 40 },
    );
  });

  test('an open session comes along, unless it was ended or gone on with here', async () => {
    const other = await open();
    await other.put('sessions', { id: 'open', session: SESSION, savedAt: DAY_MS });
    const file = await saved(other);
    const from = async (fill: (db: LibraryDb) => Promise<unknown>) => {
      const db = await open();
      await fill(db);
      return planOf(db, file);
    };
    const stores = (items: { store: string }[]) => items.map((i) => i.store);
    expect(stores((await from(async () => 0)).added)).toEqual(['sessions']);
    expect(stores((await from((db) => db.add('answers', answer(3)))).same)).toEqual(['sessions']);
    const mine = (session: Session, savedAt: number) => (db: LibraryDb) =>
      db.put('sessions', { id: 'open', session, savedAt });
    expect(stores((await from(mine({ ...SESSION, at: 1 }, 2 * DAY_MS))).same)).toEqual(['sessions']);
    expect(stores((await from(mine(SESSION, 1))).continued)).toEqual(['sessions']);
    const asked = await from(mine({ ...SESSION, startedAt: 77 }, 2 * DAY_MS));
    expect(asked.conflicts).toMatchObject([{ id: 'sessions open', choices: ['mine', 'theirs'] }]);
  });
});

describe('booths and sets that differ', () => {
  async function differing() {
    const db = await open();
    await db.put('booths', booth({ notes: 'mine' }));
    await db.put('sets', set({ name: 'My Friday' }));
    const file = { ...shippedFile('small-touch'), id: 'mine' };
    await db.put('profiles', { id: 'mine', file: { ...file, richness: 1 }, savedAt: 3 });
    const other = await open();
    await other.put('booths', booth({ notes: 'theirs' }));
    await other.put('booths', booth({ id: 'loft', name: 'Loft' }));
    await other.put('sets', set());
    await other.put('sets', set({ id: 'saturday', name: 'Saturday' }));
    await other.put('profiles', { id: 'mine', file, savedAt: 4 });
    return { db, plan: await planOf(db, await saved(other)) };
  }

  test('are asked about; mine stay, theirs replace them', async () => {
    const { db, plan } = await differing();
    expect(plan.conflicts.map((c) => [c.id, c.what, c.mineSavedAt])).toEqual([
      ['profiles mine', expect.stringContaining('deck profile'), 3],
      ['booths cellar', 'booth “Cellar”', null],
      ['sets friday', 'set “Friday”', null],
    ]);
    await carryOut(db, plan, all(plan, 'mine'), NOW);
    expect((await db.get('booths', 'cellar'))!.notes).toBe('mine');
    expect((await db.get('sets', 'friday'))!.name).toBe('My Friday');
    expect((await db.getAllKeys('sets')).sort()).toEqual(['friday', 'saturday']);

    const second = await differing();
    await carryOut(second.db, second.plan, all(second.plan, 'theirs'), NOW);
    expect((await second.db.get('booths', 'cellar'))!.notes).toBe('theirs');
    expect((await second.db.get('sets', 'friday'))!.name).toBe('Friday');
  });

  test('both: theirs come under other ids, and speak of one another by them', async () => {
    const { db, plan } = await differing();
    await carryOut(db, plan, all(plan, 'both'), NOW);
    expect(await db.get('booths', 'cellar')).toEqual(booth({ notes: 'mine' }));
    expect(await db.get('booths', 'cellar-2')).toMatchObject({
      name: 'Cellar (backup)',
      notes: 'theirs',
      decks: [{ profileId: 'mine-2' }],
    });
    expect(await db.get('booths', 'loft')).toMatchObject({ decks: [{ profileId: 'mine-2' }] });
    expect(await db.get('sets', 'friday')).toEqual(set({ name: 'My Friday' }));
    expect(await db.get('sets', 'friday-2')).toMatchObject({ name: 'Friday (backup)', boothId: 'cellar-2' });
    expect(await db.get('sets', 'saturday')).toMatchObject({ boothId: 'cellar-2' });
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
    expect(await faultIn(new Blob([shippedText('small-touch.json')]))).toBe(
      '“night.jsonl” is a deck profile, no backup: load it in Decks.',
    );
    expect(await faultIn(new Blob(['{"format":"boothproof-markers","version":1,"markers":[]}']))).toMatch(
      /^“night\.jsonl” is a file of markers, no backup: open its track in Mark .*\.$/,
    );
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
    expect(await faultIn(new Blob([text.replace('"version":2', '"version":3')]))).toContain(
      'newer Boothproof',
    );
    expect(await faultIn(new Blob([text.replace('"importance":2', '"importance":9')]))).toMatch(
      /does not fit in line 5 \(edits\): .*importance is 9/,
    );
    // A day that no calendar has, and a card that the scheduler cannot go on from.
    expect(await faultIn(new Blob([text.replace('{"at":86400000', '{"at":1e300')]))).toContain('(answers)');
    expect(await faultIn(new Blob([text.replace(/"difficulty":[\d.]+/, '"difficulty":0')]))).toContain(
      '(cards)',
    );
    expect(await faultIn(new Blob([text.replace('"startedAt":3', '"startedAt":""')]))).toContain(
      '(sessions)',
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

  test('of recordings: both are kept, each once, broken ones too', async () => {
    const db = await filled();
    const [a, b, c, odd] = [mix('a'), mix('b'), mix('c'), { kind: 'odd' }];
    const put = (value: unknown) => db.put('settings', { key: 'performances', value, savedAt: 9 });
    await put([b, a, odd]);
    const file = await saved(db);
    await put([c, a]);
    const plan = await planOf(db, file);
    expect(plan.conflicts.map(({ id, choices }) => [id, choices])).toEqual([
      ['settings performances', ['mine', 'theirs', 'both']],
    ]);
    await carryOut(db, plan, all(plan, 'both'), NOW);
    expect((await db.get('settings', 'performances'))!.value).toEqual([c, a, b, odd]);
    db.close();
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
    expect(await contents(db)).toEqual(NOTHING);
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
