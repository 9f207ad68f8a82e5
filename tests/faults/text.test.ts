/** Damaged profiles, marker files, playlists and backups: taken as something that can be used, or refused with a sentence. */
import { describe, expect, it } from 'vitest';
import { writeBackup } from '../../src/library/backup.ts';
import { filledLibrary, runBackupCase } from './backup-case.ts';
import { runTextCase } from './text-case.ts';
import { textCorpus } from './text-corpus.ts';

const TEXTS = 4000;
const BACKUPS = 500;
/** Far from the seeds that were looked at when the readers were written. */
const FIRST = 2_000_000;

function expectSound(outcomes: { seed: number; taken: boolean; wrong: string[] }[]): void {
  expect(outcomes.filter((o) => o.wrong.length)).toEqual([]);
  const taken = outcomes.filter((o) => o.taken).length / outcomes.length;
  expect(taken).toBeGreaterThan(0.05);
  expect(taken).toBeLessThan(0.9);
}

describe('damaged files of text', () => {
  it(`${TEXTS} profiles, marker files and playlists`, () => {
    expectSound(
      Array.from({ length: TEXTS }, (_, i) => ({ seed: FIRST + i, ...runTextCase(textCorpus, FIRST + i) })),
    );
  });

  it(`${BACKUPS} backups, restored and used`, async () => {
    const text = await (await writeBackup(await filledLibrary(), { now: 5, analyses: true })).text();
    const outcomes = [];
    for (let seed = FIRST; seed < FIRST + BACKUPS; seed++)
      outcomes.push({ seed, ...(await runBackupCase(text, seed)) });
    expectSound(outcomes);
  });
});
