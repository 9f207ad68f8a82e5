/** The sound around one beat: read in stretches, so that the beats near it are there at once. */
import type { Excerpt } from '../../workers/excerpt.ts';
import type { AudioState } from '../library/audio.svelte.ts';
import type { TrackRecord } from '../library/records.ts';

/** Seconds to each side of the beat that are shown. */
export const REACH = 0.04;
/** Stretch that is read at once, s, and how much of it lies before the place asked for. */
const STRETCH = 24;
const BEFORE = 8;

export class CloseUpState {
  excerpt = $state.raw<Excerpt | null>(null);
  /** Being read: a share of the file, 0..1. */
  reading = $state<number | null>(null);
  /** Why there is no sound to be seen. */
  sentence = $state<string | null>(null);

  readonly #audio: Pick<AudioState, 'excerptOf'>;
  #trackId: string | null = null;
  #wanted: { from: number; to: number } | null = null;
  #abort = new AbortController();

  constructor(audio: Pick<AudioState, 'excerptOf'>) {
    this.#audio = audio;
  }

  /** Sees to it that the sound around `time` of `track` is there. */
  async show(track: TrackRecord, time: number): Promise<void> {
    if (track.id !== this.#trackId) this.clear();
    this.#trackId = track.id;
    const from = Math.max(0, time - REACH);
    const to = Math.min(track.duration, time + REACH);
    if (this.#wanted && from >= this.#wanted.from && to <= this.#wanted.to) return;
    this.#abort.abort();
    const abort = new AbortController();
    this.#abort = abort;
    const startTime = Math.max(0, time - BEFORE);
    this.#wanted = { from: startTime, to: startTime + STRETCH };
    this.excerpt = null;
    this.sentence = null;
    this.reading = 0;
    try {
      const range = { startTime, seconds: STRETCH };
      const excerpt = await this.#audio.excerptOf(track, range, {
        signal: abort.signal,
        onProgress: (share) => !abort.signal.aborted && (this.reading = share),
      });
      if (!abort.signal.aborted) this.excerpt = excerpt;
    } catch (error) {
      if (!abort.signal.aborted) this.sentence = error instanceof Error ? error.message : String(error);
    } finally {
      if (!abort.signal.aborted) this.reading = null;
    }
  }

  /** Another track, or its file was given again. */
  clear(): void {
    this.#abort.abort();
    this.#wanted = null;
    this.excerpt = null;
    this.sentence = null;
    this.reading = null;
  }
}

/** The samples from `from` to `to` s in the track, as far as the excerpt holds them, and the first one's time. */
export function cut(
  excerpt: Excerpt,
  from: number,
  to: number,
): { samples: Float32Array; startTime: number } {
  const index = (time: number) => Math.round((time - excerpt.startTime) * excerpt.sampleRate);
  const first = Math.max(0, index(from));
  return {
    samples: excerpt.samples.subarray(first, Math.max(first, index(to))),
    startTime: excerpt.startTime + first / excerpt.sampleRate,
  };
}
