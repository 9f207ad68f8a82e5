import 'fake-indexeddb/auto';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { nudge, scaleTempo, setLocked } from '../../shared/grid/edit.ts';
import { joinWithNext, renameSection, splitSection } from '../../shared/sections/edit.ts';
import { Library } from '../../src/library/library.svelte.ts';
import { MAX_AGE_MS } from '../../src/library/saver.ts';
import { EditsState } from '../../src/mark/edits.svelte.ts';
import { analysis, file, freshName, until, workingWorker } from '../library/helpers.ts';

const open: Library[] = [];

async function visit(name: string): Promise<{ library: Library; edits: EditsState }> {
  const library = new Library({
    databaseName: name,
    createWorker: workingWorker,
    storage: undefined,
    fetch: async () => new Response('', { status: 404 }),
    demoBase: 'demo/',
    secondOpinion: async () => null,
    announce: () => {},
    listen: () => () => {},
  });
  open.push(library);
  const edits = new EditsState(library);
  await library.open();
  return { library, edits };
}

async function leave(library: Library): Promise<void> {
  open.splice(open.indexOf(library), 1);
  await library.close();
}

async function visitWithTrack(name: string) {
  const { library, edits } = await visit(name);
  library.add([file('kerb.wav')]);
  await library.queue.idle();
  await until(() => library.tracks.length === 1 && library.tracks[0].secondOpinion !== null);
  const { id } = library.tracks[0];
  await edits.take(id, library.analysis);
  return { library, edits, id };
}

afterEach(async () => {
  vi.useRealTimers();
  for (const library of [...open]) await leave(library);
});

test('what is asked for before the stored corrections are here is done then, in order; of another track, never', async () => {
  const { library, edits, id } = await visitWithTrack(freshName());
  edits.editGrid('Ten later.', (g) => nudge(g, 10));
  await edits.flush();
  await edits.take(null, null);
  edits.whenReady(() => expect.unreachable('there is no track'));

  const taken = edits.take(id, library.analysis);
  expect(edits.ready).toBe(false);
  edits.whenReady(() => edits.editGrid('Twice as fast.', (g) => scaleTempo(g, { beats: 2, over: 1 })));
  edits.undo();
  edits.whenReady(() => edits.editGrid('Five later.', (g) => nudge(g, 5)));
  expect(edits.news).toBeNull();
  await taken;
  // On top of what was stored, not in its place.
  expect(startTime(edits)).toBeCloseTo(0.265, 9);
  expect([edits.undoes, edits.canRedo]).toEqual(['Five later.', false]);

  await edits.flush();
  await edits.take(null, null);
  const other = edits.take(id, library.analysis);
  edits.whenReady(() => expect.unreachable('another track was chosen'));
  const none = edits.take(null, null);
  await Promise.all([other, none]);
  await edits.take(id, library.analysis);
  expect(edits.undoes).toBe('Five later.');
});

const startTime = (edits: EditsState) => edits.grid!.segments[0].startTime;

describe('corrections of a track', () => {
  test('begin as analysed, change, go back and forth, and tell what they did', async () => {
    const { edits } = await visitWithTrack(freshName());
    expect(edits.grid).toEqual(analysis().grid);
    expect([edits.gridByHand, edits.canUndo]).toEqual([false, false]);
    expect(edits.editGrid('Ten later.', (g) => nudge(g, 10))).toBe(true);
    expect(startTime(edits)).toBeCloseTo(0.26, 9);
    expect([edits.gridByHand, edits.canUndo, edits.news?.sentence]).toEqual([true, true, 'Ten later.']);
    edits.editSections('Split.', (s) => splitSection(s, 4, edits.grid!));
    expect(edits.sections).toHaveLength(2);
    expect(edits.sectionsByHand).toBe(true);
    edits.undo();
    expect(edits.sections).toHaveLength(0);
    expect(startTime(edits)).toBeCloseTo(0.26, 9);
    edits.undo();
    expect([edits.gridByHand, startTime(edits)]).toEqual([false, 0.25]);
    edits.undo();
    expect(edits.news).toMatchObject({ refused: true });
    edits.redo();
    edits.redo();
    expect(edits.sections).toHaveLength(2);
    edits.backToAnalysis();
    expect([edits.gridByHand, edits.sectionsByHand]).toEqual([false, false]);
    edits.undo();
    expect([edits.gridByHand, edits.sectionsByHand]).toEqual([true, true]);
  });

  test('refuse with a sentence what cannot be, and lose nothing by it', async () => {
    const { edits } = await visitWithTrack(freshName());
    edits.editGrid('Locked.', (g) => setLocked(g, true));
    expect(edits.editGrid('Ten later.', (g) => nudge(g, 10))).toBe(false);
    expect(edits.news).toMatchObject({ refused: true, sentence: expect.stringMatching(/locked/) });
    edits.backToAnalysis();
    expect(edits.grid?.locked).toBe(true);
    expect(edits.editSections('Joined.', (s) => joinWithNext(s, 0))).toBe(false);
    expect(startTime(edits)).toBe(0.25);
    edits.undo();
    expect(edits.grid?.locked).toBeUndefined();
  });

  test('an error of our own is not taken for a refusal', async () => {
    const { edits } = await visitWithTrack(freshName());
    expect(() =>
      edits.editGrid('Broken.', () => {
        throw new TypeError('a fault of ours');
      }),
    ).toThrow(TypeError);
    expect(edits.canUndo).toBe(false);
  });

  test('are there after a reload, with undo and redo; the list shows the corrected tempo', async () => {
    const name = freshName();
    const first = await visitWithTrack(name);
    first.edits.editGrid('Half.', (g) => scaleTempo(g, { beats: 1, over: 2 }));
    first.edits.editGrid('One later.', (g) => nudge(g, 1));
    first.edits.editSections('Split.', (s) => splitSection(s, 4, first.edits.grid!));
    first.edits.editSections('Named.', (s) => renameSection(s, 1, 'lift'));
    first.edits.undo();
    await leave(first.library);

    const second = await visit(name);
    expect(second.library.selected?.summary.tempo).toBe(62);
    await second.edits.take(first.id, second.library.analysis);
    const { edits } = second;
    expect(edits.grid!.segments[0].bpm).toBe(62);
    expect(startTime(edits)).toBeCloseTo(0.251, 9);
    expect(edits.sections.map((s) => s.label)).toEqual(['A', 'A']);
    edits.redo();
    expect(edits.sections.map((s) => s.label)).toEqual(['A', 'lift']);
    for (let i = 0; i < 4; i++) edits.undo();
    expect([edits.canUndo, edits.gridByHand, edits.sectionsByHand]).toEqual([false, false, false]);
    expect(edits.grid!.segments[0].bpm).toBe(124);
    await until(() => second.library.selected?.summary.tempo === 124);
  });

  test('are written within a second, however fast the edits follow each other', async () => {
    const { library, edits, id } = await visitWithTrack(freshName());
    const write = vi.spyOn(library, 'saveEdit').mockResolvedValue();
    vi.useFakeTimers();
    for (let elapsed = 0; elapsed < MAX_AGE_MS; elapsed += 100) {
      edits.editGrid('One later.', (g) => nudge(g, 1));
      vi.advanceTimersByTime(100);
    }
    expect(write).toHaveBeenCalled();
    expect(write.mock.calls[0][0]).toBe(id);
    expect(write.mock.calls.length).toBeLessThan(4);
  });

  test('survive a new analysis of the same track, and do not go over to another one', async () => {
    const { edits, id } = await visitWithTrack(freshName());
    edits.editGrid('Ten later.', (g) => nudge(g, 10));
    await edits.take(id, analysis(99));
    expect(edits.grid!.segments[0].bpm).toBe(124);
    await edits.take('another', analysis(99));
    expect(edits.grid!.segments[0].bpm).toBe(99);
    expect(edits.canUndo).toBe(false);
    await edits.take(id, analysis());
    expect(startTime(edits)).toBeCloseTo(0.26, 9);
    expect(edits.canUndo).toBe(true);
  });
});
