/** Having the chosen track analysed again, with another idea of its tempo. Corrections by hand stay as they are. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { mainTempo } from '../../shared/grid/grid.ts';
import { TEMPO_TOLERANCE } from '../../shared/second-opinion.ts';
import type { Job } from '../queue/job.ts';
import type { QueueEvents } from '../queue/queue.ts';
import type { EditsState } from './edits.svelte.ts';
import { words } from './words.ts';

/** Tempi near which one can look. Estimate: what is danced to lies within, with an octave's room below. */
export const LOOK_BPM = { least: 40, most: 220 };
/** Where another octave is worth proposing: the analysis's own range, with room for the fastest. Estimate. */
const OCTAVE_BPM = { least: 70, most: 200 };

/** What of the library is needed here. */
export interface LookShelf {
  lookAgain(id: string, tempoAround?: number): Promise<Job | null>;
  analysisOf(id: string): Promise<TrackAnalysis | null>;
  readonly queue: { on(name: 'ended', listener: (job: QueueEvents['ended']) => void): () => void };
  readonly jobs: { readonly jobs: readonly Job[] };
}

export class LookAgain {
  #asked = $state.raw<{ trackId: string; bpm: number; jobId: string | null } | null>(null);
  readonly #shelf: LookShelf;
  readonly #edits: EditsState;

  constructor(shelf: LookShelf, edits: EditsState) {
    this.#shelf = shelf;
    this.#edits = edits;
    shelf.queue.on('ended', (job) => {
      if (job.id === this.#asked?.jobId) void this.#ended(job, this.#asked);
    });
  }

  /** Being looked again: the track and the share that has been read, 0..1. */
  get running(): { trackId: string; share: number } | null {
    const asked = this.#asked;
    if (!asked) return null;
    const state = this.#shelf.jobs.jobs.find((job) => job.id === asked.jobId)?.state;
    return { trackId: asked.trackId, share: state?.kind === 'reading' ? state.share : 0 };
  }

  /**
   * Analyses the chosen track again.
   * @param bpm where its tempo is looked for first
   * @returns whether it began; why not is told as news
   */
  async near(bpm: number): Promise<boolean> {
    const trackId = this.#edits.trackId;
    if (trackId === null || this.#asked) return false;
    if (!(bpm >= LOOK_BPM.least && bpm <= LOOK_BPM.most)) {
      this.#edits.refuse(words.look.outside(LOOK_BPM.least, LOOK_BPM.most));
      return false;
    }
    this.#asked = { trackId, bpm, jobId: null };
    const job = await this.#shelf.lookAgain(trackId, bpm).catch(() => null);
    if (this.#edits.trackId === trackId) {
      if (job) this.#edits.tell(words.look.began(bpm));
      else this.#edits.refuse(words.look.noFile);
    }
    this.#asked = job && { trackId, bpm, jobId: job.id };
    return job !== null;
  }

  async #ended({ state }: Job, { trackId, bpm }: { trackId: string; bpm: number }): Promise<void> {
    this.#asked = null;
    const here = () => this.#edits.trackId === trackId;
    if (state.kind === 'fault' && here()) this.#edits.refuse(state.sentence);
    if (state.kind !== 'done') return;
    const analysis = await this.#shelf.analysisOf(trackId);
    if (!analysis || !here()) return;
    const tempo = mainTempo(analysis.grid);
    const found =
      tempo === null
        ? words.look.noBeat(bpm)
        : words.look.found(bpm, tempo.toFixed(3), Math.round(analysis.grid.confidence * 100));
    this.#edits.tell(this.#edits.gridByHand ? `${found} ${words.look.yoursStays}` : found);
  }
}

/**
 * The tempo that one most likely wants looked near: what the second detector hears, else the other octave.
 * @param ours bpm, null without a grid
 * @param theirs bpm, null where the second detector was not asked or found none
 * @returns whole bpm, or null where neither suggests itself
 */
export function otherTempo(ours: number | null, theirs: number | null): number | null {
  const within = (bpm: number, { least, most }: typeof LOOK_BPM) => bpm >= least && bpm <= most;
  const differs = ours === null || theirs === null || Math.abs(theirs / ours - 1) > TEMPO_TOLERANCE;
  if (theirs !== null && differs && within(theirs, LOOK_BPM)) return Math.round(theirs);
  const other = ours === null ? undefined : [ours / 2, ours * 2].find((bpm) => within(bpm, OCTAVE_BPM));
  return other === undefined ? null : Math.round(other);
}
