/**
 * Files waiting for the analysis and a pool of workers, each with one file at a time. A worker that crashes or does
 * not answer a cancel is replaced and the queue goes on with the next file.
 */
import type { DoneReply, EarlyReply, WorkerReply } from '../../workers/protocol.ts';
import { reason } from '../library/database.ts';
import { LONG_SECONDS } from '../library/tracks.ts';
import { Emitter } from './emitter.ts';
import { hasEnded, type Job, JobFault, type JobState, QUEUE_SENTENCES } from './job.ts';
import type { AnalysisWorker } from './worker.ts';

/** How long a worker may take to answer a cancel before it is replaced, ms. */
export const CANCEL_PATIENCE_MS = 2000;

/** Most workers at once: each holds a file's pyramid and the decoder's memory. */
const MOST_WORKERS = 4;

/** Workers for a machine of so many cores: one core is left to the page. */
export function poolSize(cores: number | undefined): number {
  return Math.max(1, Math.min(MOST_WORKERS, (cores ?? 1) - 1));
}

export interface QueueOptions {
  /** Files that are read at the same time, each in a worker of its own. 1 by default. */
  lanes?: number;
  createWorker(): AnalysisWorker;
  /** Id of the track that has this very content, or null. Called when the file's turn comes. */
  recognise(file: Blob, signal: AbortSignal): Promise<string | null>;
  /** The file is a known track's: take it as its audio. */
  known(job: Job, trackId: string): Promise<void> | void;
  /** Takes a finished analysis into the library; the job is done when it resolves. */
  accept(job: Job, result: DoneReply): Promise<void> | void;
  cancelPatienceMs?: number;
}

export interface QueueEvents {
  /** The list or a job in it changed. */
  jobs: readonly Job[];
  /** A first picture of the track that is being read. */
  early: { job: Job; reply: EarlyReply };
  /** A job has come to its end, whatever it was. */
  ended: Job;
  /** Nothing is left to do. */
  idle: undefined;
}

export interface FileToAdd {
  file: Blob;
  name: string;
  again?: boolean;
  /** Where the analysis looks for the tempo first, bpm. */
  tempoAround?: number;
}

interface Running {
  abort: AbortController;
  /** The result is being taken into the library: too late to cancel. */
  accepting: boolean;
}

/** One worker and what it is at. */
interface Lane {
  worker: AnalysisWorker | null;
  busy: boolean;
}

export class AnalysisQueue {
  readonly #options: QueueOptions;
  readonly #events = new Emitter<QueueEvents>();
  #jobs: readonly Job[] = [];
  readonly #lanes: readonly Lane[];
  /** By the job's id. */
  readonly #running = new Map<string, Running>();
  #disposed = false;
  #count = 0;

  constructor(options: QueueOptions) {
    this.#options = options;
    this.#lanes = Array.from({ length: options.lanes ?? 1 }, () => ({ worker: null, busy: false }));
  }

  get jobs(): readonly Job[] {
    return this.#jobs;
  }

  on<Name extends keyof QueueEvents>(name: Name, listener: (event: QueueEvents[Name]) => void): () => void {
    return this.#events.on(name, listener);
  }

  /** Puts files at the end of the queue and starts it. */
  add(files: readonly FileToAdd[]): Job[] {
    const added = files.map(({ file, name, again = false, tempoAround }): Job => {
      return { id: `job-${++this.#count}`, file, name, again, tempoAround, state: { kind: 'waiting' } };
    });
    this.#change([...this.#jobs, ...added]);
    for (const lane of this.#lanes) void this.#loop(lane);
    return added;
  }

  /** Cancels a job that has not ended. The list shows it at once; the worker may take a moment to stop. */
  cancel(id: string): void {
    const job = this.#jobs.find((j) => j.id === id);
    if (!job || hasEnded(job)) return;
    const running = this.#running.get(id);
    if (running?.accepting) return;
    running?.abort.abort();
    this.#end(id, { kind: 'cancelled' });
  }

  cancelAll(): void {
    // The waiting ones first, so that none of them starts when a running one stops.
    for (const job of [...this.#jobs].reverse()) this.cancel(job.id);
  }

  /** Puts an ended job back at the end of the queue. */
  retry(id: string): Job | null {
    const job = this.#jobs.find((j) => j.id === id);
    if (!job || !hasEnded(job)) return null;
    this.dismiss(id);
    return this.add([job])[0];
  }

  /** Takes an ended job off the list. */
  dismiss(id: string): void {
    this.#change(this.#jobs.filter((j) => j.id !== id || !hasEnded(j)));
  }

  dismissEnded(): void {
    this.#change(this.#jobs.filter((j) => !hasEnded(j)));
  }

  /** Resolves when nothing is left to do. */
  idle(): Promise<void> {
    if (!this.#busy) return Promise.resolve();
    return new Promise((resolve) => {
      const off = this.on('idle', () => {
        off();
        resolve();
      });
    });
  }

  dispose(): void {
    this.cancelAll();
    this.#disposed = true;
    for (const lane of this.#lanes) discardWorker(lane);
    this.#events.clear();
  }

  get #busy(): boolean {
    return this.#lanes.some((lane) => lane.busy);
  }

  async #loop(lane: Lane): Promise<void> {
    if (lane.busy) return;
    lane.busy = true;
    for (;;) {
      const job = this.#jobs.find((j) => j.state.kind === 'waiting');
      if (!job || this.#disposed) break;
      await this.#read(job, lane);
    }
    lane.busy = false;
    if (!this.#busy) this.#events.emit('idle', undefined);
  }

  /** One job from its turn to its end; never throws. */
  async #read(job: Job, lane: Lane): Promise<void> {
    const running: Running = { abort: new AbortController(), accepting: false };
    const { signal } = running.abort;
    this.#running.set(job.id, running);
    this.#set(job.id, { kind: 'reading', share: 0 });
    try {
      const known = job.again ? null : await this.#options.recognise(job.file, signal);
      signal.throwIfAborted();
      const result = known === null ? await this.#analyse(job, lane, signal) : null;
      signal.throwIfAborted();
      running.accepting = true;
      if (result) await this.#options.accept(job, result);
      else await this.#options.known(job, known!);
      this.#end(
        job.id,
        result ? { kind: 'done', trackId: result.hash } : { kind: 'already', trackId: known! },
      );
    } catch (error) {
      if (signal.aborted) return; // `cancel` has told it
      const fault =
        error instanceof JobFault
          ? error
          : new JobFault('unexpected', QUEUE_SENTENCES.unexpected(job.name, reason(error)));
      this.#end(job.id, { kind: 'fault', code: fault.code, sentence: fault.message });
    } finally {
      this.#running.delete(job.id);
    }
  }

  #analyse(job: Job, lane: Lane, signal: AbortSignal): Promise<DoneReply> {
    const worker = this.#startWorker(job, lane);
    return new Promise<DoneReply>((resolve, reject) => {
      let patience: ReturnType<typeof setTimeout> | undefined;
      const settle = () => {
        clearTimeout(patience);
        worker.removeEventListener('message', onMessage);
        worker.removeEventListener('error', onCrash);
        worker.removeEventListener('messageerror', onCrash);
        signal.removeEventListener('abort', onAbort);
      };
      const onMessage = ({ data }: MessageEvent<WorkerReply>) => {
        if (data.id !== job.id) return;
        if (data.type === 'progress') this.#progress(job.id, data.share);
        else if (data.type === 'early') {
          if (!signal.aborted) this.#events.emit('early', { job: this.#current(job), reply: data });
        } else {
          settle();
          if (data.type === 'done') {
            // Its heap keeps what a long file needed; a new one is small.
            if (data.analysis.duration >= LONG_SECONDS) discardWorker(lane);
            resolve(data);
          } else if (data.type === 'fault') reject(new JobFault(data.code, data.sentence));
          else reject(signal.aborted ? signal.reason : crash(job));
        }
      };
      const onCrash = () => {
        settle();
        discardWorker(lane);
        reject(crash(job));
      };
      const onAbort = () => {
        worker.postMessage({ type: 'cancel', id: job.id });
        patience = setTimeout(() => {
          settle();
          discardWorker(lane);
          reject(signal.reason);
        }, this.#options.cancelPatienceMs ?? CANCEL_PATIENCE_MS);
      };
      worker.addEventListener('message', onMessage);
      worker.addEventListener('error', onCrash);
      worker.addEventListener('messageerror', onCrash);
      signal.addEventListener('abort', onAbort);
      const { id, file, name, tempoAround } = job;
      worker.postMessage({ type: 'analyse', id, file, name, tempoAround });
    });
  }

  #startWorker(job: Job, lane: Lane): AnalysisWorker {
    if (lane.worker) return lane.worker;
    let worker: AnalysisWorker;
    try {
      worker = this.#options.createWorker();
    } catch (error) {
      throw new JobFault('no-worker', QUEUE_SENTENCES.noWorker(job.name, reason(error)), { cause: error });
    }
    // One that crashes between two files must not be given the next.
    worker.addEventListener('error', () => {
      if (lane.worker === worker) discardWorker(lane);
    });
    return (lane.worker = worker);
  }

  #progress(id: string, share: number): void {
    const state = this.#jobs.find((j) => j.id === id)?.state;
    if (state?.kind !== 'reading') return; // cancelled meanwhile
    this.#set(id, { kind: 'reading', share: Math.min(1, Math.max(state.share, share)) });
  }

  #current(job: Job): Job {
    return this.#jobs.find((j) => j.id === job.id) ?? job;
  }

  #end(id: string, state: JobState): void {
    this.#set(id, state);
    const job = this.#jobs.find((j) => j.id === id);
    if (job) this.#events.emit('ended', job);
  }

  #set(id: string, state: JobState): void {
    this.#change(this.#jobs.map((j) => (j.id === id ? { ...j, state } : j)));
  }

  #change(jobs: readonly Job[]): void {
    this.#jobs = jobs;
    this.#events.emit('jobs', jobs);
  }
}

function discardWorker(lane: Lane): void {
  lane.worker?.terminate();
  lane.worker = null;
}

function crash(job: Job): JobFault {
  return new JobFault('crashed', QUEUE_SENTENCES.crashed(job.name));
}
