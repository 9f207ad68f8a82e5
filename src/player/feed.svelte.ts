/**
 * Brings a track's audio to the transport: the kept or given file, the demo's address, or, where the browser
 * cannot play the format, a WAV made from it by the worker.
 */
import type { Library } from '../library/library.svelte.ts';
import { type TrackRecord, titleOf } from '../library/records.ts';
import { words } from '../words.ts';
import type { Transport } from './transport.svelte.ts';

export class AudioFeed {
  /** What the person has to know about the audio, or null when it just plays. */
  sentence = $state<string | null>(null);

  readonly #library: Library;
  readonly #transport: Transport;
  /** What was loaded last: a track with or without its audio. */
  #loaded = '';
  #url: string | null = null;
  #abort = new AbortController();

  constructor(library: Library, transport: Transport) {
    this.#library = library;
    this.#transport = transport;
    transport.onCannotPlay = (wanted) => void this.#convert(wanted);
  }

  #track: TrackRecord | null = null;
  #duration = 0;
  /** How far the WAV of this track is, where one is needed. */
  #copy: 'none' | 'making' | 'made' = 'none';
  /** The person pressed play and waits for it. */
  #wanted = false;

  /** Another track of `duration` s is on its way, which `take` will take up. */
  leave(duration: number): void {
    this.#loaded = '';
    this.#abort.abort();
    this.sentence = null;
    this.#transport.leave(duration);
  }

  /** Loads `track`'s audio; null: only the picture of `duration` seconds is there so far. */
  async take(track: TrackRecord | null, duration: number): Promise<void> {
    const has = track !== null && this.#library.audio.has(track);
    const wanted = `${this.#transport.mounted} ${track?.id ?? ''} ${has} ${duration}`;
    if (wanted === this.#loaded) return;
    this.#loaded = wanted;
    this.#abort.abort();
    this.#abort = new AbortController();
    this.#track = track;
    this.#duration = duration;
    this.#copy = 'none';
    this.#wanted = false;
    this.sentence = null;
    this.#play(null);
    if (!track) return;
    const source = await this.#library.audio.sourceOf(track);
    if (this.#loaded !== wanted) return;
    if (source.kind === 'missing') this.sentence = source.sentence;
    else this.#play(source.kind === 'url' ? source.url : source.blob);
  }

  /** Called when the element refused the source: once per track a WAV is made of it. */
  async #convert(wanted: boolean): Promise<void> {
    const track = this.#track;
    if (!track) return;
    this.#wanted ||= wanted;
    if (this.#copy === 'making') return;
    if (this.#copy === 'made') {
      this.sentence = words.cannotPlay(titleOf(track));
      return;
    }
    this.#copy = 'making';
    this.#transport.expected = true;
    this.sentence = words.makingPlayable;
    const { signal } = this.#abort;
    try {
      const wav = await this.#library.audio.playableOf(track, { signal });
      if (signal.aborted) return;
      this.sentence = wav ? null : words.cannotPlay(titleOf(track));
      this.#copy = 'made';
      this.#transport.expected = false;
      if (!wav) return;
      this.#play(wav);
      if (this.#wanted) void this.#transport.toggle();
    } catch (error) {
      if (signal.aborted) return;
      this.#copy = 'made';
      this.#transport.expected = false;
      this.sentence = error instanceof Error ? error.message : words.cannotPlay(titleOf(track));
    }
  }

  #play(source: string | Blob | null): void {
    if (this.#url) URL.revokeObjectURL(this.#url);
    this.#url = source instanceof Blob ? URL.createObjectURL(source) : null;
    this.#transport.load(source instanceof Blob ? this.#url : source, this.#duration);
  }
}
