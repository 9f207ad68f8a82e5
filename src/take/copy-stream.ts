/** A booth-safe copy from a worker of its own, piece by piece. */
import type { Marker } from '../../shared/markers/marker.ts';
import type { CopyReport, CopyWish, LevelRule } from '../../workers/copy/types.ts';
import type { WorkerReply } from '../../workers/protocol.ts';
import { JobFault, QUEUE_SENTENCES } from '../queue/job.ts';
import type { AnalysisWorker } from '../queue/worker.ts';

export interface CopyStreamOptions {
  wish: CopyWish;
  markers?: Marker[];
  level?: LevelRule;
  title?: string;
  mostCoverBytes?: number;
  signal?: AbortSignal;
  /** Share of all work, 0..1. */
  onProgress?: (share: number) => void;
}

export interface CopyStream {
  /** bytes */
  size: number;
  /** Final but for what is known after the last byte: take it from `finished`. */
  report: CopyReport;
  /** To be run once; its `return` (leaving a `for await`) ends the worker. */
  bytes: AsyncGenerator<Uint8Array, CopyReport, void>;
}

/** Replies in the order in which they came, for a reader that takes one at a time. */
class Inbox {
  #replies: WorkerReply[] = [];
  #fault: unknown = null;
  #wake: (() => void) | null = null;

  put(reply: WorkerReply): void {
    this.#replies.push(reply);
    this.#wake?.();
  }

  fail(error: unknown): void {
    this.#fault ??= error;
    this.#wake?.();
  }

  async take(): Promise<WorkerReply> {
    for (;;) {
      if (this.#fault !== null) throw this.#fault;
      const reply = this.#replies.shift();
      if (reply) return reply;
      await new Promise<void>((resolve) => (this.#wake = resolve));
      this.#wake = null;
    }
  }
}

const ID = 'copy';

/**
 * Measures the file and begins its copy.
 * @throws JobFault with the sentence, or the signal's reason when aborted; so does `bytes`
 */
export async function startCopy(
  createWorker: () => AnalysisWorker,
  file: Blob,
  name: string,
  { signal, onProgress, ...how }: CopyStreamOptions,
): Promise<CopyStream> {
  signal?.throwIfAborted();
  const inbox = new Inbox();
  const worker = createWorker();
  const onAbort = () => {
    worker.terminate();
    inbox.fail(signal!.reason);
  };
  const end = () => {
    signal?.removeEventListener('abort', onAbort);
    worker.terminate();
  };
  const onCrash = () => inbox.fail(new JobFault('crashed', QUEUE_SENTENCES.crashed(name)));
  worker.addEventListener('message', ({ data }: MessageEvent<WorkerReply>) => {
    if (data.id !== ID) return;
    if (data.type === 'progress') onProgress?.(data.share);
    else if (data.type === 'fault') inbox.fail(new JobFault(data.code, data.sentence));
    else inbox.put(data);
  });
  worker.addEventListener('error', onCrash);
  worker.addEventListener('messageerror', onCrash);
  signal?.addEventListener('abort', onAbort);
  worker.postMessage({ type: 'copy', id: ID, file, name, ...how });

  async function* bytes(): AsyncGenerator<Uint8Array, CopyReport, void> {
    try {
      for (;;) {
        worker.postMessage({ type: 'copy-more', id: ID });
        const reply = await inbox.take();
        if (reply.type === 'copy') return reply.report;
        if (reply.type === 'copy-bytes') yield reply.bytes;
      }
    } finally {
      end();
    }
  }
  try {
    for (;;) {
      const reply = await inbox.take();
      if (reply.type === 'copy-planned') return { size: reply.size, report: reply.report, bytes: bytes() };
    }
  } catch (error) {
    end();
    throw error;
  }
}
