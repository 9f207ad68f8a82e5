/**
 * Damaged sound files through the worker's own desk, in a watched process: no crash, no hang, no end of memory, always
 * a sentence. `npm run faults` runs ten thousand of them; here a part that no test before has seen, and those
 * that once went wrong.
 */
import { describe, expect, it } from 'vitest';
import { haveFfmpeg } from '../fixtures/ffmpeg.ts';
import { runWatched } from './watched.ts';

/** Seeds that found an error once. */
const ONCE_WRONG = [2085, 2370, 4980, 5940, 6330, 6663, 7230, 7848];
const FIRST = 1_000_000;
const COUNT = 600;

describe('the watch', () => {
  it('tells of a case that never ends, that takes the process down or eats memory, and goes on', async () => {
    const program = new URL('./bad-child.ts', import.meta.url);
    const { outcomes, lost } = await runWatched([1, 2, 3, 4, 5, 6], { program, patienceMs: 8000 });
    expect(outcomes.map((o) => o.seed)).toEqual([1, 4, 6]);
    expect(lost.map((l) => l.seed)).toEqual([2, 3, 5]);
    expect(lost[0].what).toContain('no end');
    expect(lost[1].what).toContain('7');
    expect(lost[2].what).toContain('out of memory');
  });
});

describe.skipIf(!haveFfmpeg())('damaged sound files', () => {
  it(`${COUNT} of them are read in part or refused with a sentence`, async () => {
    const seeds = [...ONCE_WRONG, ...Array.from({ length: COUNT }, (_, i) => FIRST + i)];
    const { outcomes, lost } = await runWatched(seeds);
    expect(lost).toEqual([]);
    expect(outcomes.filter((o) => o.wrong.length)).toEqual([]);
    expect(outcomes).toHaveLength(seeds.length);
    // Neither all whole nor all beyond reading: the damage is of the kind that matters.
    const read = outcomes.filter((o) => o.analysis === 'done').length / outcomes.length;
    expect(read).toBeGreaterThan(0.2);
    expect(read).toBeLessThan(0.9);
  });
});
