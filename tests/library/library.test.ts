import 'fake-indexeddb/auto';
import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { ANALYSIS_VERSION } from '../../shared/analysis.ts';
import { encodeAnalysis } from '../../shared/analysis-codec.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import type { ProfileFile } from '../../shared/profile/schema.ts';
import { openDatabase } from '../../src/library/database.ts';
import { Library } from '../../src/library/library.svelte.ts';
import { hashBlob } from '../../src/library/recognise.ts';
import type { CorrectionHistory } from '../../src/library/records.ts';
import { UNDO_MS } from '../../src/library/removals.svelte.ts';
import { SENTENCES } from '../../src/library/sentences.ts';
import type { Change, LibraryTools } from '../../src/library/tools.ts';
import { EditsState } from '../../src/mark/edits.svelte.ts';
import { current, readHistory, record as recordStep } from '../../src/mark/history.ts';
import { analysis, FakeWorker, file, freshName, until, workingWorker } from './helpers.ts';

const open: Library[] = [];

/** A visit to the page: a library on the database `name`. */
async function visit(name: string, tools: Partial<LibraryTools> = {}): Promise<Library> {
  const library = new Library({
    databaseName: name,
    createWorker: workingWorker,
    storage: undefined,
    fetch: async () => new Response('', { status: 404 }),
    demoBase: 'demo/',
    secondOpinion: async () => ({ bpm: 124.2, offset: 0.1 }),
    previewOfFile: async () => ({ samples: new Float32Array(4), sampleRate: 11024, startTime: 0 }),
    announce: () => {},
    listen: () => () => {},
    ...tools,
  });
  open.push(library);
  await library.open();
  return library;
}

async function leave(library: Library): Promise<void> {
  open.splice(open.indexOf(library), 1);
  await library.close();
}

async function add(library: Library, ...files: File[]): Promise<void> {
  library.add(files);
  await library.queue.idle();
  await until(() => library.tracks.every((t) => t.demo || t.secondOpinion));
}

/** No worker may be needed: the page shows what it kept. */
const noWorker: Partial<LibraryTools> = {
  createWorker: () => {
    throw new Error('Nothing is to be analysed here.');
  },
};

afterEach(async () => {
  vi.useRealTimers();
  for (const library of [...open]) await leave(library);
});

describe('a track of the person', () => {
  test('is shown when it is ready, and is there again after a reload without being analysed', async () => {
    const name = freshName();
    const first = await visit(name);
    await add(first, file('Low Tide.wav'), file('Brick Lane Rain.wav'));
    expect(first.tracks.map((t) => t.name)).toEqual(['Low Tide.wav', 'Brick Lane Rain.wav']);
    expect(first.selected?.name).toBe('Low Tide.wav');
    expect(first.analysisState).toBe('ready');
    const { id } = first.tracks[1];
    await first.select(id);
    await leave(first);

    const second = await visit(name, noWorker);
    expect(second.tracks.map((t) => t.name)).toEqual(['Low Tide.wav', 'Brick Lane Rain.wav']);
    expect(second.selectedId).toBe(id);
    expect(second.analysis).toEqual(analysis());
    expect(second.selected?.secondOpinion).toEqual({ bpm: 124.2, offset: 0.1 });
    expect(second.selected?.summary).toMatchObject({ tempo: 124, key: { name: 'A minor' } });
    expect(new Uint8Array(await (await second.coverOf(id))!.arrayBuffer())).toEqual(
      new Uint8Array([1, 2, 3]),
    );
    expect(second.notices.list).toEqual([]);
  });

  test('does not push itself in front of one that the person chose meanwhile', async () => {
    const library = await visit(freshName());
    await add(library, file('a.wav'));
    const { id } = library.tracks[0];
    library.add([file('b.wav')]);
    await library.select(id);
    await library.queue.idle();
    expect(library.tracks).toHaveLength(2);
    expect(library.selectedId).toBe(id);
  });

  test('that is given twice is reported as already there and shown', async () => {
    const library = await visit(freshName());
    await add(library, file('a.wav', 'one'), file('b.wav', 'two'));
    await add(library, file('b again.wav', 'two'));
    expect(library.tracks).toHaveLength(2);
    expect(library.queue.jobs.at(-1)?.state).toEqual({ kind: 'already', trackId: library.tracks[1].id });
    expect(library.selected?.name).toBe('b.wav');
  });

  test('can be moved, and the place is kept', async () => {
    const name = freshName();
    const first = await visit(name);
    await add(first, file('a.wav'), file('b.wav'), file('c.wav'));
    await first.move(first.tracks[2].id, 0);
    await leave(first);
    const second = await visit(name, noWorker);
    expect(second.tracks.map((t) => t.name)).toEqual(['c.wav', 'a.wav', 'b.wav']);
  });

  test('keeps the corrections made by hand when it is analysed again', async () => {
    const name = freshName();
    const library = await visit(name);
    await add(library, file('a.wav'));
    const { id } = library.tracks[0];
    await library.saveEdit(id, { grid: analysis(125.5).grid, sections: null });
    expect(await library.analyseAgain(id)).toBe(true);
    await library.queue.idle();
    expect(library.queue.jobs.at(-1)?.state).toEqual({ kind: 'done', trackId: id });
    expect((await library.editOf(id))?.grid?.segments[0].bpm).toBe(125.5);
    expect(library.tracks).toHaveLength(1);
  });

  test('without a beat for the second detector says so and is not asked for ever', async () => {
    const library = await visit(freshName(), { secondOpinion: async () => null });
    await add(library, file('a.wav'));
    expect(library.tracks[0].secondOpinion).toEqual({ bpm: null, offset: null });
  });
});

describe('its audio', () => {
  test('is asked about once; with yes it plays again after a reload', async () => {
    const name = freshName();
    let persisted = 0;
    const storage = { persist: async () => ++persisted > 0, persisted: async () => false };
    const first = await visit(name, { storage });
    await add(first, file('a.wav', 'audio of a'), file('b.wav', 'audio of bb'));
    expect(first.audio.question).toEqual({ bytes: 21, sentence: SENTENCES.askKeepAudio(21) });
    await first.audio.answer('yes');
    expect(first.audio.question).toBeNull();
    expect(persisted).toBe(1);
    await add(first, file('c.wav', 'audio of c'));
    expect(first.audio.question).toBeNull();
    await leave(first);

    const second = await visit(name, noWorker);
    for (const [i, content] of ['audio of a', 'audio of bb', 'audio of c'].entries()) {
      const source = await second.audio.sourceOf(second.tracks[i]);
      if (source.kind !== 'blob') throw new Error(source.kind);
      expect(await source.blob.text()).toBe(content);
      expect(second.audio.has(second.tracks[i])).toBe(true);
    }
    await second.audio.dropKept();
    expect(second.audio.has(second.tracks[0])).toBe(false);
  });

  test('that is not kept is asked for by name, and the same content under any name brings it back', async () => {
    const name = freshName();
    const first = await visit(name);
    await add(first, file('a.wav', 'audio of a'));
    expect((await first.audio.sourceOf(first.tracks[0])).kind).toBe('blob');
    await first.audio.answer('no');
    await leave(first);

    const second = await visit(name);
    const [track] = second.tracks;
    expect(second.audio.has(track)).toBe(false);
    expect(second.analysisState).toBe('ready');
    expect(await second.audio.sourceOf(track)).toEqual({
      kind: 'missing',
      sentence: SENTENCES.giveAgain('a.wav'),
    });
    expect(await second.analyseAgain(track.id)).toBe(false);
    await add(second, file('renamed.wav', 'audio of a'));
    expect(second.tracks).toHaveLength(1);
    const source = await second.audio.sourceOf(track);
    if (source.kind !== 'blob') throw new Error(source.kind);
    expect(await source.blob.text()).toBe('audio of a');
    expect(second.audio.question).toBeNull();
  });

  test('a file of the same name and size but other content is a track of its own', async () => {
    const name = freshName();
    const first = await visit(name);
    await add(first, file('a.wav', 'audio of a'));
    await leave(first);
    const second = await visit(name);
    const [track] = second.tracks;
    await add(second, file('a.wav', 'audio of B'));
    expect(second.tracks).toHaveLength(2);
    expect(second.audio.has(track)).toBe(false);
    expect(second.notices.list.map((n) => n.sentence)).toEqual([SENTENCES.otherContent('a.wav')]);
  });

  test('without room the track stays with its picture and the sentence says so', async () => {
    const name = freshName();
    const storage = { estimate: async () => ({ quota: 1000, usage: 990 }) };
    const first = await visit(name, { storage });
    await add(first, file('a.wav', 'audio of a'));
    await first.audio.answer('yes');
    expect(first.notices.list.map((n) => n.sentence)).toEqual([SENTENCES.noRoomForAudio('a.wav', 10, 0)]);
    expect(first.audio.has(first.tracks[0])).toBe(true);
    expect(first.audio.isKept(first.tracks[0])).toBe(false);
    await leave(first);
    const second = await visit(name, noWorker);
    expect(second.analysisState).toBe('ready');
  });

  test('can be had as a WAV for a player that cannot play it', async () => {
    const library = await visit(freshName());
    await add(library, file('a.aiff'));
    expect(await (await library.audio.playableOf(library.tracks[0]))?.text()).toBe('RIFF');
  });
});

describe('removing', () => {
  test('can be undone, with its place, its selection and its audio', async () => {
    const library = await visit(freshName());
    await add(library, file('a.wav'), file('b.wav'), file('c.wav'));
    const [a, b, c] = library.tracks;
    await library.select(b.id);
    await library.remove([b.id]);
    expect(library.tracks.map((t) => t.name)).toEqual(['a.wav', 'c.wav']);
    expect(library.selectedId).toBe(c.id);
    await library.undoRemoval();
    expect(library.tracks.map((t) => t.id)).toEqual([a.id, b.id, c.id]);
    expect(library.audio.has(b)).toBe(true);
    expect(library.removals.list).toEqual([]);
  });

  test('lapses: then nothing of the track is left', async () => {
    const name = freshName();
    const library = await visit(name);
    await add(library, file('a.wav'), file('b.wav'));
    const [a] = library.tracks;
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'Date'] });
    await library.remove([a.id]);
    vi.advanceTimersByTime(UNDO_MS - 1);
    expect(library.removals.list).toHaveLength(1);
    vi.advanceTimersByTime(1);
    await until(() => !library.audio.has(a));
    expect(library.removals.list).toEqual([]);
    await library.undoRemoval();
    expect(library.tracks).toHaveLength(1);
    vi.useRealTimers();
    await leave(library);
    const db = await openDatabase({ name });
    expect(await db.getKey('analyses', a.id)).toBeUndefined();
    expect(await db.count('tracks')).toBe(1);
    db.close();
  });

  test('can still be undone after a reload within its time, and is carried out after it', async () => {
    const name = freshName();
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'Date'] });
    const first = await visit(name);
    await add(first, file('a.wav'), file('b.wav'));
    const [a, b] = first.tracks;
    await first.remove([a.id]);
    vi.advanceTimersByTime(5);
    await first.remove([b.id]);
    await leave(first);

    vi.setSystemTime(Date.now() + UNDO_MS - 5);
    const second = await visit(name, noWorker);
    expect(second.tracks).toEqual([]);
    expect(second.removals.list.map((r) => r.tracks[0].name)).toEqual(['b.wav']);
    await second.undoRemoval();
    expect(second.tracks.map((t) => t.name)).toEqual(['b.wav']);
    expect(second.analysis).toEqual(analysis());
    await leave(second);
    const third = await visit(name, noWorker);
    expect(third.tracks.map((t) => t.name)).toEqual(['b.wav']);
    expect(third.removals.list).toEqual([]);
  });

  test('a removed track that is given again is back and stays', async () => {
    const library = await visit(freshName());
    await add(library, file('a.wav'));
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'Date'] });
    await library.remove([library.tracks[0].id]);
    await add(library, file('a.wav'));
    expect(library.queue.jobs.at(-1)?.state.kind).toBe('already');
    vi.advanceTimersByTime(UNDO_MS * 2);
    expect(library.tracks.map((t) => t.name)).toEqual(['a.wav']);
    expect(library.selected?.name).toBe('a.wav');
  });
});

describe('analyses of another version', () => {
  test('are flagged, and giving the file again renews them', async () => {
    const name = freshName();
    const first = await visit(name);
    await add(first, file('a.wav'));
    await leave(first);
    const db = await openDatabase({ name });
    const [stored] = await db.getAll('analyses');
    await db.put('analyses', { ...stored, version: ANALYSIS_VERSION - 1 });
    db.close();

    const second = await visit(name);
    expect(second.outdated).toEqual(new Set([second.tracks[0].id]));
    expect(second.analysisState).toBe('outdated');
    expect(second.analysis).toBeNull();
    await add(second, file('a.wav'));
    expect(second.outdated.size).toBe(0);
    expect(second.analysisState).toBe('ready');
    expect(second.tracks).toHaveLength(1);
  });
});

describe('without a database', () => {
  test('the page works until it is closed, and says so', async () => {
    const { open: original } = indexedDB;
    indexedDB.open = () => {
      throw new DOMException('storage is switched off', 'SecurityError');
    };
    try {
      const library = await visit(freshName());
      expect(library.notices.list[0].sentence).toContain('storage is switched off');
      await add(library, ...Array.from({ length: 9 }, (_, i) => file(`${i}.wav`)));
      await library.select(library.tracks[0].id);
      expect(library.analysisState).toBe('ready');
      expect(library.audio.question).toBeNull();
      await library.remove([library.tracks[8].id]);
      await library.undoRemoval();
      expect(library.tracks).toHaveLength(9);
    } finally {
      indexedDB.open = original;
    }
  });
});

describe('two tabs', () => {
  /** Tabs that hear one another, as through the browser's channel. */
  function tabs(): (id: string) => Partial<LibraryTools> {
    const listeners = new Map<string, (change: Change) => void>();
    return (id) => ({
      announce: (change) => listeners.forEach((call, other) => other !== id && call(change)),
      listen: (changed) => {
        listeners.set(id, changed);
        return () => listeners.delete(id);
      },
    });
  }

  /** Tabs none of which has heard of the other yet. */
  const deaf = (): Partial<LibraryTools> => ({ announce: () => {}, listen: () => () => {} });

  const corrections = (kept: CorrectionHistory) => ({ ...current(kept), history: kept });
  const marked = (kept: CorrectionHistory, name: string, time: number) => {
    const marker: Marker = { kind: 'mark', id: name, time, name, importance: 2 };
    const markers = [...(current(kept).markers ?? []), marker];
    return recordStep(kept, { grid: null, sections: null, markers, what: `Mark ${name}` });
  };
  const names = async (library: Library, id: string) =>
    (await library.editOf(id))?.markers?.map((m) => m.name);

  test('show what the other one corrected, and go on from there', async () => {
    const name = freshName();
    const tab = tabs();
    const left = await visit(name, tab('left'));
    const right = await visit(name, tab('right'));
    await add(left, file('a.wav'));
    await until(() => right.analysisState === 'ready');
    const [{ id }] = left.tracks;
    const [inLeft, inRight] = [new EditsState(left), new EditsState(right)];
    await inLeft.take(id, left.analysis);
    await inRight.take(id, right.analysis);
    const mark = (n: string, time: number) => (all: readonly Marker[]) => [
      ...all,
      { kind: 'mark' as const, id: n, time, name: n, importance: 2 as const },
    ];
    inLeft.editMarkers('Mark', mark('one', 1));
    await inLeft.flush();
    await until(() => inRight.markers.length === 1);
    inRight.editMarkers('Mark', mark('two', 2));
    await inRight.flush();
    await until(() => inLeft.markers.length === 2);
    expect(inLeft.markers.map((m) => m.name)).toEqual(['one', 'two']);
    expect([...left.notices.list, ...right.notices.list]).toEqual([]);
    inLeft.undo();
    expect(inLeft.markers.map((m) => m.name)).toEqual(['one']);
  });

  test('that correct one track at the same time lose nothing of either', async () => {
    const name = freshName();
    const left = await visit(name, deaf());
    await add(left, file('a.wav'));
    const right = await visit(name, deaf());
    const [{ id }] = left.tracks;
    const start = readHistory(await left.editOf(id));
    await right.editOf(id);
    const mine = marked(start, 'mine', 1);
    await left.saveEdit(id, corrections(mine));
    await right.saveEdit(id, corrections(marked(start, 'theirs', 2)));
    expect(await names(right, id)).toEqual(['mine', 'theirs']);
    expect(right.notices.list.map((n) => n.sentence)).toEqual([SENTENCES.joinedTabs('a.wav')]);
    // Undo leads to what stood in either tab alone.
    const { steps } = readHistory(await right.editOf(id));
    const states = steps.map((s) => (s.markers ?? []).map((m) => m.name).join());
    expect(states).toEqual(expect.arrayContaining(['mine', 'theirs', 'mine,theirs']));
    // One tab by itself is never in conflict with its own saves, however fast they follow.
    const next = marked(readHistory(await right.editOf(id)), 'more', 3);
    await Promise.all([
      right.saveEdit(id, corrections(next)),
      right.saveEdit(id, corrections(marked(next, 'most', 4))),
    ]);
    expect(await names(right, id)).toEqual(['mine', 'theirs', 'more', 'most']);
    expect(right.notices.list).toHaveLength(1);
  });

  test('see what the other one does', async () => {
    const name = freshName();
    const tab = tabs();
    const left = await visit(name, tab('left'));
    const right = await visit(name, tab('right'));
    await add(left, file('a.wav'));
    await until(() => right.tracks.length === 1 && right.analysisState === 'ready');
    expect(right.selected?.name).toBe('a.wav');
    await right.remove([right.tracks[0].id]);
    await until(() => left.tracks.length === 0 && left.selectedId === null);
    expect(left.analysisState).toBe('none');
  });
});

describe('profiles and settings', () => {
  const wide = JSON.parse(
    readFileSync(new URL('../../profiles/wide-touch.json', import.meta.url), 'utf8'),
  ) as ProfileFile;

  test('own profiles are kept, replaced, removed and brought back', async () => {
    const name = freshName();
    const first = await visit(name);
    await first.profiles.save({ ...wide, id: 'mine', name: 'Mine', richness: 10 });
    await first.profiles.save({ ...wide, id: 'other', name: 'Other', richness: 20 });
    await first.profiles.save({ ...wide, id: 'mine', name: 'Mine at the pier', richness: 30 });
    const removed = await first.profiles.remove('other');
    expect(removed?.name).toBe('Other');
    await leave(first);
    const second = await visit(name);
    expect(second.profiles.list.map((p) => p.name)).toEqual(['Mine at the pier']);
    await second.profiles.save(removed!);
    expect(second.profiles.list.map((p) => p.id)).toEqual(['mine', 'other']);
    expect(second.profiles.list[1]).toEqual({ ...wide, id: 'other', name: 'Other', richness: 20 });
  });

  test('a stored profile that no longer fits is kept and reported', async () => {
    const name = freshName();
    const db = await openDatabase({ name });
    await db.put('profiles', { id: 'odd', file: { ...wide, id: 'odd', richness: -1 }, savedAt: 1 });
    db.close();
    const library = await visit(name);
    expect(library.profiles.list).toEqual([]);
    expect(library.notices.list.map((n) => n.sentence)).toEqual([SENTENCES.profileUnreadable('odd')]);
    await leave(library);
    const again = await openDatabase({ name });
    expect(await again.count('profiles')).toBe(1);
    again.close();
  });

  test('a changed setting survives closing at once', async () => {
    const name = freshName();
    const first = await visit(name);
    first.settings.set('volume', 0.6);
    first.settings.set('palettes', { 'wide-touch': wide.palette });
    await leave(first);
    const second = await visit(name);
    expect(second.settings.current).toMatchObject({ volume: 0.6, palettes: { 'wide-touch': wide.palette } });
    expect(() => second.settings.set('volume', 3)).toThrow();
    expect(second.settings.current.volume).toBe(0.6);
  });
});

describe('the demo', () => {
  /** A server with a demo set; it counts what is asked for. */
  async function server(fingerprint = 'f1', contents: Record<string, string> = { dusk: 'D1', kerb: 'K1' }) {
    const files = new Map<string, BodyInit>();
    const asked: string[] = [];
    const tracks = [];
    for (const [id, content] of Object.entries(contents)) {
      const hash = await hashBlob(new Blob([content]));
      files.set(`demo/${id}.wav`, content);
      files.set(`demo/${id}.analysis.bin`, encodeAnalysis(analysis()));
      const names = { file: `${id}.wav`, analysis: `${id}.analysis.bin` };
      tracks.push({
        id,
        ...names,
        title: id,
        artist: 'Marl Quay',
        genre: 'house',
        duration: 8,
        bytes: 2,
        hash,
      });
    }
    files.set('demo/manifest.json', JSON.stringify({ version: 1, fingerprint, tracks }));
    const fetch = async (url: string) => {
      asked.push(url);
      const body = files.get(url);
      return body === undefined ? new Response('', { status: 404 }) : new Response(body);
    };
    return { fetch, asked, files };
  }

  const titles = (library: Library) => library.tracks.map((t) => t.tags.title);

  test('is there on a fresh start with its pictures, and after a reload only the list is asked for', async () => {
    const name = freshName();
    const { fetch, asked } = await server();
    const first = await visit(name, { fetch, ...noWorker });
    expect(titles(first)).toEqual(['dusk', 'kerb']);
    expect(first.selected?.tags.title).toBe('dusk');
    expect(first.analysis).toEqual(analysis());
    expect(await first.audio.sourceOf(first.tracks[0])).toEqual({ kind: 'url', url: 'demo/dusk.wav' });
    expect(first.audio.question).toBeNull();
    await leave(first);
    asked.length = 0;
    const second = await visit(name, { fetch, ...noWorker });
    expect(titles(second)).toEqual(['dusk', 'kerb']);
    expect(asked).toEqual(['demo/manifest.json']);
  });

  test('audio is never stored, even when audio may be kept', async () => {
    const name = freshName();
    const { fetch } = await server();
    const first = await visit(name, { fetch });
    first.settings.set('keepAudio', 'yes');
    await add(first, file('demo copy.wav', 'D1'));
    expect(first.queue.jobs.at(-1)?.state.kind).toBe('already');
    await leave(first);
    const db = await openDatabase({ name });
    expect(await db.count('audio')).toBe(0);
    db.close();
  });

  test('a single demo track that was removed does not come back by itself, but with the set', async () => {
    const name = freshName();
    const { fetch } = await server();
    const first = await visit(name, { fetch });
    await first.remove([first.tracks[0].id]);
    await leave(first);
    const newer = await server('f2');
    const second = await visit(name, { fetch: newer.fetch });
    expect(titles(second)).toEqual(['kerb']);
    await second.demo.bringBack();
    expect([...titles(second)].sort()).toEqual(['dusk', 'kerb']);
  });

  test('can be taken out, stays out, and is brought back', async () => {
    const name = freshName();
    const { fetch } = await server();
    const first = await visit(name, { fetch });
    await add(first, file('mine.wav'));
    await first.demo.remove();
    expect(titles(first)).toEqual(['Title of mine.wav']);
    expect(first.selected?.name).toBe('mine.wav');
    expect(first.demo.removed).toBe(true);
    await leave(first);
    const second = await visit(name, { fetch });
    expect(titles(second)).toEqual(['Title of mine.wav']);
    await second.demo.bringBack();
    expect(titles(second)).toHaveLength(3);
    expect(second.demo.removed).toBe(false);
    expect(second.removals.list).toEqual([]);
  });

  test('taking it out can be undone', async () => {
    const { fetch } = await server();
    const library = await visit(freshName(), { fetch });
    await library.demo.remove();
    expect(library.tracks).toEqual([]);
    await library.undoRemoval();
    expect(titles(library)).toEqual(['dusk', 'kerb']);
    expect(library.demo.removed).toBe(false);
  });

  test('a new rendering takes the place of the old one, except where the person worked on it', async () => {
    const name = freshName();
    const first = await visit(name, { fetch: (await server()).fetch });
    const [dusk, kerb] = first.tracks;
    await first.saveEdit(kerb.id, { grid: analysis(99).grid, sections: null });
    await leave(first);
    const newer = await server('f2', { dusk: 'D2', kerb: 'K2' });
    const second = await visit(name, { fetch: newer.fetch });
    expect(second.tracks.some((t) => t.id === dusk.id)).toBe(false);
    expect(second.tracks.some((t) => t.id === kerb.id)).toBe(true);
    expect([...titles(second)].sort()).toEqual(['dusk', 'kerb', 'kerb']);
    expect(second.analysisState).toBe('ready');
  });

  test('a track that cannot be fetched is named and tried again at the next start', async () => {
    const name = freshName();
    const broken = await server();
    const analysisFile = broken.files.get('demo/kerb.analysis.bin')!;
    broken.files.delete('demo/kerb.analysis.bin');
    const first = await visit(name, { fetch: broken.fetch });
    expect(titles(first)).toEqual(['dusk']);
    expect(first.notices.list.map((n) => n.sentence)).toEqual([SENTENCES.demoBroken('kerb', 'status 404')]);
    await leave(first);
    broken.files.set('demo/kerb.analysis.bin', analysisFile);
    const second = await visit(name, { fetch: broken.fetch });
    expect(titles(second)).toEqual(['dusk', 'kerb']);
  });

  test('a track that comes without its analysis goes through the queue and is a demo track all the same', async () => {
    const served = await server();
    const manifest = JSON.parse(served.files.get('demo/manifest.json') as string) as { tracks: object[] };
    manifest.tracks = [{ ...manifest.tracks[0], analysis: undefined }];
    served.files.set('demo/manifest.json', JSON.stringify(manifest));
    const library = await visit(freshName(), { fetch: served.fetch });
    await library.queue.idle();
    expect(library.tracks).toHaveLength(1);
    expect(library.tracks[0].demo).toEqual({ id: 'dusk', url: 'demo/dusk.wav' });
    expect(library.audio.question).toBeNull();
  });

  test('gets its second opinion when it is asked for', async () => {
    const { fetch, asked } = await server();
    const library = await visit(freshName(), { fetch });
    const { id } = library.tracks[0];
    await library.askSecondOpinion(id);
    expect(library.tracks[0].secondOpinion).toEqual({ bpm: 124.2, offset: 0.1 });
    const before = asked.length;
    await library.askSecondOpinion(id);
    expect(asked).toHaveLength(before);
  });

  test('a bad file leaves the library as it was', async () => {
    const { fetch } = await server();
    const library = await visit(freshName(), {
      fetch,
      createWorker: () =>
        new FakeWorker((request, worker) =>
          worker.say({ type: 'fault', id: request.id, code: 'not-audio', sentence: '“x.txt” is not audio.' }),
        ),
    });
    library.add([file('x.txt')]);
    await library.queue.idle();
    expect(titles(library)).toEqual(['dusk', 'kerb']);
    expect(library.selected?.tags.title).toBe('dusk');
  });
});
