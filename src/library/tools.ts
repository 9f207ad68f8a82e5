/** What the library needs of the browser, so that tests can give it something else. */
import type { Preview } from '../../workers/stages/preview.ts';
import { runErrand } from '../queue/errand.ts';
import { poolSize } from '../queue/queue.ts';
import { type AnalysisWorker, createAnalysisWorker } from '../queue/worker.ts';
import { DATABASE_NAME } from './database.ts';
import { DEMO_PATH, type Fetch } from './demo.ts';
import type { StorageLike } from './room.ts';
import { secondOpinion } from './second-opinion.ts';

export interface LibraryTools {
  databaseName: string;
  createWorker(): AnalysisWorker;
  /** Files that are analysed at the same time. */
  lanes: number;
  storage: StorageLike | undefined;
  fetch: Fetch;
  /** Address of the demo set, with a slash at its end. */
  demoBase: string;
  secondOpinion(preview: Preview): Promise<{ bpm: number; offset: number } | null>;
  /** For tracks that came with a finished analysis. Throws a JobFault when the file cannot be read. */
  previewOfFile(audio: Blob, name: string): Promise<Preview>;
  /** Tells the other tabs what was changed. */
  announce(change: Change): void;
  /** Calls back when another tab changed something. @returns a function that ends it */
  listen(changed: (change: Change) => void): () => void;
}

/** What one tab tells the others: the list of tracks, one track's corrections and markers, or booths and sets. */
export type Change = { kind: 'tracks' } | { kind: 'edit'; id: string } | { kind: 'gigs' };

export function browserTools(): LibraryTools {
  const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(DATABASE_NAME);
  return {
    databaseName: DATABASE_NAME,
    createWorker: createAnalysisWorker,
    lanes: poolSize(globalThis.navigator?.hardwareConcurrency),
    storage: globalThis.navigator?.storage,
    fetch: (url) => globalThis.fetch(url),
    demoBase: `${import.meta.env.BASE_URL}${DEMO_PATH}`,
    secondOpinion: (preview) => secondOpinion(preview),
    previewOfFile: async (audio, name) =>
      (await runErrand(createAnalysisWorker, 'preview', audio, name, {})).preview,
    announce: (change) => channel?.postMessage(change),
    listen(changed) {
      channel?.addEventListener('message', ({ data }: MessageEvent<Change>) => changed(data));
      return () => channel?.close();
    },
  };
}
