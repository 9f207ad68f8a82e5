/** Looking again near another tempo: what is proposed, what is asked of the library, and what is told. */
import { describe, expect, test } from 'vitest';
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { noGrid } from '../../shared/grid/grid.ts';
import { EditsState } from '../../src/mark/edits.svelte.ts';
import { LookAgain, otherTempo } from '../../src/mark/look-again.svelte.ts';
import type { Job } from '../../src/queue/job.ts';

describe('the tempo that is proposed', () => {
  test('is what the second detector hears, where that is another one', () => {
    expect(otherTempo(124, 101.6)).toBe(102);
    expect(otherTempo(null, 93)).toBe(93);
    expect(otherTempo(174, 87.1)).toBe(87);
  });

  test('is the other octave where the detector agrees or was not asked', () => {
    expect(otherTempo(174, 174.5)).toBe(87);
    expect(otherTempo(87, null)).toBe(174);
    expect(otherTempo(100, null)).toBe(200);
  });

  test('is none where neither octave is likely', () => {
    expect(otherTempo(124, 124)).toBeNull();
    expect(otherTempo(null, null)).toBeNull();
  });
});

describe('looking again', () => {
  const beats = (bpm: number): TrackAnalysis['grid'] => ({
    ...noGrid(60),
    kind: 'constant',
    segments: [{ startBeat: 0, startTime: 0.1, bpm }],
    confidence: 0.93,
  });
  const analysed = (bpm: number) =>
    ({ grid: beats(bpm), sections: [], duration: 60 }) as unknown as TrackAnalysis;

  async function bench(file: boolean) {
    const asked: [string, number | undefined][] = [];
    let ended: (job: Job) => void = () => {};
    const shelf = {
      editOf: async () => null,
      saveEdit: async () => {},
      noteGrid: async () => {},
      waiting: new Set<() => Promise<void>>(),
      elsewhere: new Set<never>(),
      jobs: { jobs: [] as Job[] },
      queue: { on: (_name: 'ended', listener: (job: Job) => void) => ((ended = listener), () => {}) },
      analysisOf: async () => analysed(87),
      lookAgain: async (id: string, tempo?: number) => {
        asked.push([id, tempo]);
        const state = { kind: 'waiting' } as const;
        return file ? { id: 'job-1', file: new Blob(), name: 'a.wav', again: true, state } : null;
      },
    };
    const edits = new EditsState(shelf);
    const look = new LookAgain(shelf, edits);
    await edits.take('a', analysed(174));
    const end = (state: Job['state'], id = 'job-1') =>
      ended({ id, file: new Blob(), name: 'a.wav', again: true, state });
    return { edits, look, asked, end };
  }

  test('asks for the chosen track, once at a time, and tells what was found', async () => {
    const { edits, look, asked, end } = await bench(true);
    expect(await look.near(87)).toBe(true);
    expect(look.running?.trackId).toBe('a');
    expect(await look.near(90)).toBe(false);
    expect(asked).toEqual([['a', 87]]);
    end({ kind: 'done', trackId: 'b' }, 'job-of-another');
    expect(look.running).not.toBeNull();
    end({ kind: 'done', trackId: 'a' });
    await expect.poll(() => edits.news?.sentence).toMatch(/near 87 bpm: .* finds 87\.000 bpm, 93 % sure\.$/);
    expect(look.running).toBeNull();
  });

  test('says that a grid corrected by hand stays, and it does', async () => {
    const { edits, look, end } = await bench(true);
    edits.editGrid('by hand', (grid) => ({
      ...grid,
      segments: [{ startBeat: 0, startTime: 0.2, bpm: 120 }],
    }));
    await look.near(87);
    await edits.take('a', analysed(87));
    end({ kind: 'done', trackId: 'a' });
    await expect.poll(() => edits.news?.sentence).toContain('The grid that you corrected stays');
    expect(edits.grid?.segments[0].bpm).toBe(120);
  });

  test('refuses tempi without sense, and says when the file is missing or the reading fails', async () => {
    const missing = await bench(false);
    expect(await missing.look.near(Number.NaN)).toBe(false);
    expect(missing.edits.news).toMatchObject({
      refused: true,
      sentence: expect.stringContaining('between 40'),
    });
    expect(missing.asked).toEqual([]);
    expect(await missing.look.near(87)).toBe(false);
    expect(missing.edits.news).toMatchObject({
      refused: true,
      sentence: expect.stringContaining('not here'),
    });
    expect(missing.look.running).toBeNull();

    const failing = await bench(true);
    await failing.look.near(87);
    failing.end({ kind: 'fault', code: 'x', sentence: 'It broke.' });
    expect(failing.edits.news).toEqual({ refused: true, sentence: 'It broke.' });
  });
});
