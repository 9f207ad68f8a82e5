/** `npm run faults [-- FIRST COUNT]`: damaged files by the ten thousand. Seeds that go wrong belong into audio.test.ts. */
import { writeBackup } from '../../src/library/backup.ts';
import { filledLibrary, runBackupCase } from './backup-case.ts';
import { runTextCase } from './text-case.ts';
import { textCorpus } from './text-corpus.ts';
import { runWatched } from './watched.ts';

const [first = 1, count = 10_000] = process.argv.slice(2).map(Number);
const seeds = Array.from({ length: count }, (_, i) => first + i);
let bad = 0;

function tell(what: string, seed: number, wrong: readonly string[]): void {
  if (!wrong.length) return;
  bad++;
  console.log(`${what} ${seed}: ${wrong.join(' | ').slice(0, 500)}`);
}

const audio = await runWatched(seeds, { onOutcome: (o) => tell(`sound (${o.file})`, o.seed, o.wrong) });
for (const { seed, what } of audio.lost) tell('sound', seed, [what]);
const read = audio.outcomes.filter((o) => o.analysis === 'done').length;
console.log(
  `${count} damaged sound files: ${read} read in part, ${audio.outcomes.length - read} refused, ` +
    `${audio.lost.length} lost; at most ${Math.round(audio.peakBytes / 1e6)} MB resident.`,
);

const backup = await (await writeBackup(await filledLibrary(), { now: 5, analyses: true })).text();
const taken = { backups: 0, texts: 0 };
const shareOfBackups = 4;
for (const seed of seeds) {
  const isBackup = seed % shareOfBackups === 0;
  const outcome = isBackup ? await runBackupCase(backup, seed) : runTextCase(textCorpus, seed);
  tell(isBackup ? 'backup' : 'text', seed, outcome.wrong);
  if (outcome.taken) taken[isBackup ? 'backups' : 'texts']++;
}
console.log(
  `${count} damaged profiles, marker files, playlists and backups: ${taken.texts} texts and ${taken.backups} backups ` +
    'taken and used, the rest refused.',
);
console.log(bad ? `${bad} went wrong.` : 'None went wrong.');
process.exitCode = bad ? 1 : 0;
