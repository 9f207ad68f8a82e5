/** Runs the cases it is given, one after the other, and tells of each when it begins and when it has ended. */
import { runAudioCase } from './audio-case.ts';
import { corpus } from './corpus.ts';
import type { FromChild } from './watched.ts';

const tell = (message: FromChild) => void process.send!(message);

const samples = await corpus();
process.on('message', async (seeds: number[]) => {
  for (const seed of seeds) {
    tell({ begun: seed });
    tell({ ended: await runAudioCase(samples, seed), residentBytes: process.memoryUsage.rss() });
  }
  tell({ finished: true });
});
tell({ ready: true });
