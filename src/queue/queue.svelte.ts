/** The queue as the page sees it. */
import type { EarlyReply } from '../../workers/protocol.ts';
import { type Job, hasEnded } from './job.ts';
import type { AnalysisQueue } from './queue.ts';

export class QueueState {
  jobs = $state.raw<readonly Job[]>([]);
  /** First picture of the track that is being read; gone when its job ends. */
  early = $state.raw<{ job: Job; reply: EarlyReply } | null>(null);

  constructor(queue: AnalysisQueue) {
    queue.on('jobs', (jobs) => (this.jobs = jobs));
    queue.on('early', (early) => (this.early = early));
    queue.on('ended', (job) => {
      if (this.early?.job.id === job.id) this.early = null;
    });
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
