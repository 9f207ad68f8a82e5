/** The one place that knows where the analysis worker lives. */
import type { WorkerReply, WorkerRequest } from '../../workers/protocol.ts';

/** What the queue needs of a worker; tests drive one of their own. */
export interface AnalysisWorker {
  postMessage(request: WorkerRequest): void;
  terminate(): void;
  addEventListener(type: 'message', listener: (event: MessageEvent<WorkerReply>) => void): void;
  addEventListener(type: 'error' | 'messageerror', listener: (event: Event) => void): void;
  removeEventListener(type: 'message', listener: (event: MessageEvent<WorkerReply>) => void): void;
  removeEventListener(type: 'error' | 'messageerror', listener: (event: Event) => void): void;
}

export function createAnalysisWorker(): AnalysisWorker {
  return new Worker(new URL('../../workers/entry.ts', import.meta.url), { type: 'module' });
}
