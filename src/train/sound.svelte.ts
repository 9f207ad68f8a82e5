/** Plays the stretch of sound that belongs to a question: quietly, once, and without telling its place. */
import type { Excerpt as Asked } from '../../shared/drills/types.ts';
import type { AudioState } from '../library/audio.svelte.ts';
import type { TrackRecord } from '../library/records.ts';

/** s: no click at either end. */
const FADE = 0.02;

export class ExcerptSound {
  playing = $state(false);
  /** The track's audio is not here. */
  missing = $state(false);

  readonly #audio: Pick<AudioState, 'excerptOf'>;
  #context: AudioContext | null = null;
  #source: AudioBufferSourceNode | null = null;
  #abort = new AbortController();

  constructor(audio: Pick<AudioState, 'excerptOf'>) {
    this.#audio = audio;
  }

  /** @param volume linear, 0..1 */
  async play(asked: Asked, track: TrackRecord, volume: number): Promise<void> {
    this.stop();
    const abort = new AbortController();
    this.#abort = abort;
    this.playing = true;
    try {
      const { startTime, endTime } = asked;
      const range = { startTime, seconds: endTime - startTime };
      const excerpt = await this.#audio.excerptOf(track, range, { signal: abort.signal });
      if (abort.signal.aborted) return;
      if (!excerpt?.samples.length) {
        this.missing = true;
        this.playing = false;
        return;
      }
      const context = (this.#context ??= new AudioContext());
      await context.resume();
      const buffer = context.createBuffer(1, excerpt.samples.length, excerpt.sampleRate);
      buffer.copyToChannel(excerpt.samples, 0);
      const gain = context.createGain();
      const begin = context.currentTime + 0.02;
      const end = begin + buffer.duration;
      gain.gain.setValueAtTime(0, begin);
      gain.gain.linearRampToValueAtTime(volume, begin + FADE);
      gain.gain.setValueAtTime(volume, Math.max(begin + FADE, end - FADE));
      gain.gain.linearRampToValueAtTime(0, end);
      const source = new AudioBufferSourceNode(context, { buffer });
      source.connect(gain).connect(context.destination);
      source.addEventListener('ended', () => {
        if (this.#source === source) this.playing = false;
      });
      source.start(begin);
      this.#source = source;
    } catch (error) {
      if (abort.signal.aborted) return;
      this.playing = false;
      this.missing = true;
      if (!(error instanceof Error)) throw error;
    }
  }

  stop(): void {
    this.#abort.abort();
    this.#source?.stop();
    this.#source = null;
    this.playing = false;
  }

  /** Another question. */
  forget(): void {
    this.stop();
    this.missing = false;
  }

  dispose(): void {
    this.stop();
    void this.#context?.close();
    this.#context = null;
  }
}
