/** Turns a file that the browser's player cannot play into a WAV, in a worker of its own. */
import type { WorkerReply } from '../../workers/protocol.ts';
import { JobFault, QUEUE_SENTENCES } from './job.ts';
import type { AnalysisWorker } from './worker.ts';

export interface PlayableOptions {
  signal?: AbortSignal;
  /** Share of the file that has been read, 0..1. */
  onProgress?: (share: number) => void;
}

/**
 * Runs beside the analysis queue, so that playing need not wait for it; the worker ends with the request.
 * @returns a 16-bit WAV of the same timing
 * @throws JobFault with the sentence, or the signal's reason when aborted
 */
export function makePlayable(
  createWorker: () => AnalysisWorker,
  file: Blob,
  name: string,
  { signal, onProgress }: PlayableOptions = {},
): Promise<Blob> {
  return new Promise<Blob>((resolve, reject) => {
    signal?.throwIfAborted();
    const id = 'playable';
    const worker = createWorker();
    const end = (settle: () => void) => {
      signal?.removeEventListener('abort', onAbort);
      worker.terminate();
      settle();
    };
    const onAbort = () => end(() => reject(signal!.reason));
    const onCrash = () => end(() => reject(new JobFault('crashed', QUEUE_SENTENCES.crashed(name))));
    worker.addEventListener('message', ({ data }: MessageEvent<WorkerReply>) => {
      if (data.id !== id) return;
      if (data.type === 'progress') onProgress?.(data.share);
      else if (data.type === 'playable') end(() => resolve(data.blob));
      else if (data.type === 'fault') end(() => reject(new JobFault(data.code, data.sentence)));
    });
    worker.addEventListener('error', onCrash);
    worker.addEventListener('messageerror', onCrash);
    signal?.addEventListener('abort', onAbort);
    worker.postMessage({ type: 'playable', id, file, name });
  });
}
