/* eslint svelte/prefer-svelte-reactivity: off -- sets and maps here are replaced whole or not shown at all */
/**
 * The audio of the tracks as the page sees it: files given since the page was opened, audio kept in the
 * browser, and the demo's addresses.
 */
import type { Excerpt } from '../../workers/excerpt.ts';
import type { TrackPcm } from '../../workers/pcm.ts';
import { makePlayable, runErrand, type ErrandOptions } from '../queue/errand.ts';
import type { AnalysisWorker } from '../queue/worker.ts';
import { dropAllAudio, dropAudio, keepAudio, keptAudioIds, keptAudioSizes, readAudio } from './audio.ts';
import type { Disk } from './disk.ts';
import { type TrackRecord, titleOf } from './records.ts';
import { askPersistence, type StorageLike } from './room.ts';
import { SENTENCES } from './sentences.ts';
import type { SettingsState } from './settings.svelte.ts';

/** What the player gets. The caller makes and revokes a blob's URL. */
export type AudioSource =
  | { kind: 'url'; url: string }
  | { kind: 'blob'; blob: Blob }
  /** Nothing to play: `sentence` asks for the file. */
  | { kind: 'missing'; sentence: string };

export interface AudioTools {
  disk: Disk;
  settings: SettingsState;
  storage: StorageLike | undefined;
  fetch(url: string): Promise<Response>;
  createWorker(): AnalysisWorker;
  report(sentence: string): void;
}

type Named = Pick<TrackRecord, 'id' | 'name' | 'demo' | 'tags'>;

export class AudioState {
  /** Set while the person has to say whether audio may be kept. */
  question = $state.raw<{ bytes: number; sentence: string } | null>(null);
  #kept = $state.raw<ReadonlySet<string>>(new Set());
  #given = $state.raw<ReadonlyMap<string, Blob>>(new Map());

  readonly #tools: AudioTools;
  /** Given files that wait for the answer. */
  readonly #waiting = new Map<string, { name: string; audio: Blob }>();

  constructor(tools: AudioTools) {
    this.#tools = tools;
  }

  async load(): Promise<void> {
    this.#kept = await this.#tools.disk.read(keptAudioIds, new Set<string>());
  }

  /** Whether the track can be played without asking for its file. */
  has(track: Pick<TrackRecord, 'id' | 'demo'>): boolean {
    return track.demo !== null || this.#given.has(track.id) || this.#kept.has(track.id);
  }

  /** True when the audio is there again after a reload. */
  isKept(track: Pick<TrackRecord, 'id' | 'demo'>): boolean {
    return track.demo !== null || this.#kept.has(track.id);
  }

  /** Takes a track's file: playable at once, kept as far as the person allows. */
  async give(track: Named, audio: Blob): Promise<void> {
    this.#given = new Map(this.#given).set(track.id, audio);
    if (this.isKept(track) || !this.#tools.disk.db) return;
    const { keepAudio: wish } = this.#tools.settings.current;
    if (wish === 'yes') await this.#keep(track.id, track.name, audio);
    else if (wish === 'ask') {
      this.#waiting.set(track.id, { name: track.name, audio });
      this.#ask();
    }
  }

  /** The person's answer; it holds for later files too. */
  async answer(wish: 'yes' | 'no'): Promise<void> {
    this.#tools.settings.set('keepAudio', wish);
    const waiting = [...this.#waiting];
    this.#waiting.clear();
    this.question = null;
    if (wish === 'no') return;
    await askPersistence(this.#tools.storage);
    for (const [id, { name, audio }] of waiting) await this.#keep(id, name, audio);
  }

  /** Asks later: this visit's files stay playable, nothing is kept. */
  postpone(): void {
    this.#waiting.clear();
    this.question = null;
  }

  /** Bytes of kept audio, by track. */
  keptSizes(): Promise<Map<string, number>> {
    return this.#tools.disk.read(keptAudioSizes, new Map<string, number>());
  }

  /** Frees the room of some tracks' kept audio; the tracks stay. */
  async drop(ids: readonly string[]): Promise<void> {
    await this.#tools.disk.write('The removal of the kept audio', (db) => dropAudio(db, ids));
    await this.load();
  }

  /** Frees the room of all kept audio; the tracks stay. */
  async dropKept(): Promise<void> {
    await this.#tools.disk.write('The removal of the kept audio', dropAllAudio);
    await this.load();
  }

  /** Forgets tracks that are gone for good. */
  forget(ids: readonly string[]): void {
    const gone = new Set(ids);
    this.#given = new Map([...this.#given].filter(([id]) => !gone.has(id)));
    this.#kept = new Set([...this.#kept].filter((id) => !gone.has(id)));
    for (const id of ids) this.#waiting.delete(id);
    this.#ask();
  }

  async sourceOf(track: Named): Promise<AudioSource> {
    const blob = await this.#blobHere(track.id);
    if (blob) return { kind: 'blob', blob };
    if (track.demo) return { kind: 'url', url: track.demo.url };
    return { kind: 'missing', sentence: SENTENCES.giveAgain(track.name) };
  }

  /** The track's file, fetched for a demo track; null when it must be given again (a failed fetch is reported). */
  async blobOf(track: Named): Promise<Blob | null> {
    const blob = await this.#blobHere(track.id);
    if (blob || !track.demo) return blob;
    try {
      const response = await this.#tools.fetch(track.demo.url);
      if (response.ok) return await response.blob();
    } catch {
      // Told below, as for a bad status.
    }
    this.#tools.report(SENTENCES.demoUnreachable(titleOf(track)));
    return null;
  }

  /**
   * A WAV of the track, for a browser whose player cannot play its format.
   * @returns null when the file must be given again
   * @throws JobFault with a sentence
   */
  async playableOf(track: Named, options: ErrandOptions = {}): Promise<Blob | null> {
    const blob = await this.blobOf(track);
    return blob && makePlayable(this.#tools.createWorker, blob, track.name, options);
  }

  /**
   * A stretch of the track's sound, sample by sample.
   * @returns null when the file must be given again
   * @throws JobFault with a sentence
   */
  async excerptOf(
    track: Named,
    range: { startTime: number; seconds: number },
    options: ErrandOptions = {},
  ): Promise<Excerpt | null> {
    const blob = await this.blobOf(track);
    options.signal?.throwIfAborted();
    if (!blob) return null;
    const errand = { ...options, ...range };
    return (await runErrand(this.#tools.createWorker, 'excerpt', blob, track.name, errand)).excerpt;
  }

  /**
   * The whole track's sound at the player's rate.
   * @returns null when the file must be given again
   * @throws JobFault with a sentence
   */
  async pcmOf(track: Named, sampleRate: number, options: ErrandOptions = {}): Promise<TrackPcm | null> {
    const blob = await this.blobOf(track);
    options.signal?.throwIfAborted();
    if (!blob) return null;
    const errand = { ...options, sampleRate };
    return (await runErrand(this.#tools.createWorker, 'pcm', blob, track.name, errand)).pcm;
  }

  async #blobHere(id: string): Promise<Blob | null> {
    const given = this.#given.get(id);
    if (given) return given;
    if (!this.#kept.has(id)) return null;
    return this.#tools.disk.read((db) => readAudio(db, id), null);
  }

  #ask(): void {
    const bytes = [...this.#waiting.values()].reduce((sum, { audio }) => sum + audio.size, 0);
    this.question = this.#waiting.size ? { bytes, sentence: SENTENCES.askKeepAudio(bytes) } : null;
  }

  async #keep(id: string, name: string, audio: Blob): Promise<void> {
    const { disk, storage, report } = this.#tools;
    const keeping = await disk.write(`The audio of “${name}”`, (db) =>
      keepAudio(db, { id, name }, audio, storage, Date.now()),
    );
    if (keeping?.kept) this.#kept = new Set(this.#kept).add(id);
    else if (keeping?.sentence) report(keeping.sentence);
  }
}
