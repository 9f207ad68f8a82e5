/** One file on its way through the analysis. */
export type JobState =
  | { kind: 'waiting' }
  /** `share` of the file that has been read, 0..1. */
  | { kind: 'reading'; share: number }
  | { kind: 'done'; trackId: string }
  /** The library has a track of this very content. */
  | { kind: 'already'; trackId: string }
  | { kind: 'fault'; code: string; sentence: string }
  | { kind: 'cancelled' };

/** Snapshots: a job that changes is replaced, never altered. */
export interface Job {
  readonly id: string;
  readonly file: Blob;
  readonly name: string;
  /** Analyse it even though the library knows it. */
  readonly again: boolean;
  /** Where the analysis looks for the tempo first, bpm; undefined: its own choice. */
  readonly tempoAround?: number;
  readonly state: JobState;
}

export function hasEnded(job: Job): boolean {
  return job.state.kind !== 'waiting' && job.state.kind !== 'reading';
}

/** A reason why a job failed, with the sentence to show. */
export class JobFault extends Error {
  override name = 'JobFault';
  constructor(
    readonly code: string,
    message: string,
    options?: ErrorOptions,
  ) {
    super(message, options);
  }
}

export const QUEUE_SENTENCES = {
  crashed: (name: string) =>
    `The analysis stopped unexpectedly while reading “${name}”. Try it again; if it happens again, convert the ` +
    'file to WAV or FLAC first.',
  unexpected: (name: string, why: string) => `“${name}” could not be added: ${why}`,
  noWorker: (name: string, why: string) =>
    `“${name}” could not be read, because this browser does not start the analysis (${why}). Reload the page.`,
} as const;
