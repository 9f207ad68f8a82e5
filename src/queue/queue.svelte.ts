/* eslint svelte/prefer-svelte-reactivity: off -- maps here are replaced whole */
/** The queue as the page sees it. */
import type { EarlyReply } from '../../workers/protocol.ts';
import { type Job, hasEnded } from './job.ts';
import type { AnalysisQueue } from './queue.ts';

interface Early {
  job: Job;
  reply: EarlyReply;
}

export class QueueState {
  jobs = $state.raw<readonly Job[]>([]);
  /** First pictures of the tracks that are being read, by job; each is gone when its job ends. */
  #early = $state.raw<ReadonlyMap<string, Early>>(new Map());

  constructor(queue: AnalysisQueue) {
    queue.on('jobs', (jobs) => (this.jobs = jobs));
    queue.on('early', (early) => (this.#early = new Map([...this.#early, [early.job.id, early]])));
    queue.on('ended', (job) => {
      if (this.#early.has(job.id)) this.#early = new Map([...this.#early].filter(([id]) => id !== job.id));
    });
  }

  /** The newest early picture of a job, or null. */
  earlyOf(id: string | null): Early | null {
    return (id !== null && this.#early.get(id)) || null;
  }

  get busy(): boolean {
    return this.jobs.some((job) => !hasEnded(job));
  }

  /** Share of the listed work that is behind us, 0..1; 1 when nothing is listed. */
  get share(): number {
    if (!this.jobs.length) return 1;
    const sum = this.jobs.reduce(
      (s, job) => s + (job.state.kind === 'reading' ? job.state.share : hasEnded(job) ? 1 : 0),
      0,
    );
    return sum / this.jobs.length;
  }
}
