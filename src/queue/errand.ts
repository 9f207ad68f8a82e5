/** One piece of work in a worker of its own, beside the analysis queue: it need not wait, and ends with its worker. */
import type { WorkerReply, WorkerRequest } from '../../workers/protocol.ts';
import { JobFault, QUEUE_SENTENCES } from './job.ts';
import type { AnalysisWorker } from './worker.ts';

export interface ErrandOptions {
  signal?: AbortSignal;
  /** Share of the file that has been read, 0..1. */
  onProgress?: (share: number) => void;
}

type Errand = Exclude<WorkerRequest['type'], 'cancel' | 'analyse'>;
/** What a request carries besides the file. */
type Details<Type extends Errand> = Omit<
  Extract<WorkerRequest, { type: Type }>,
  'type' | 'id' | 'file' | 'name'
>;
type ReplyTo<Type extends Errand> = Extract<WorkerReply, { type: Type }>;

/**
 * @returns the worker's answer
 * @throws JobFault with the sentence, or the signal's reason when aborted
 */
export function runErrand<Type extends Errand>(
  createWorker: () => AnalysisWorker,
  type: Type,
  file: Blob,
  name: string,
  { signal, onProgress, ...details }: ErrandOptions & Details<Type>,
): Promise<ReplyTo<Type>> {
  return new Promise<ReplyTo<Type>>((resolve, reject) => {
    signal?.throwIfAborted();
    const id = type;
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
      else if (data.type === type) end(() => resolve(data as ReplyTo<Type>));
      else if (data.type === 'fault') end(() => reject(new JobFault(data.code, data.sentence)));
    });
    worker.addEventListener('error', onCrash);
    worker.addEventListener('messageerror', onCrash);
    signal?.addEventListener('abort', onAbort);
    worker.postMessage({ type, id, file, name, ...details } as Extract<WorkerRequest, { type: Type }>);
  });
}

/**
 * Turns a file that the browser's player cannot play into a WAV.
 * @returns a 16-bit WAV of the same timing
 */
export async function makePlayable(
  createWorker: () => AnalysisWorker,
  file: Blob,
  name: string,
  options: ErrandOptions = {},
): Promise<Blob> {
  return (await runErrand(createWorker, 'playable', file, name, options)).blob;
}
