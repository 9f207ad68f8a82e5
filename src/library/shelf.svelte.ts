/* eslint svelte/prefer-svelte-reactivity: off -- sets and maps here are replaced whole or not shown at all */
/** The list of tracks, which of them is shown, and its analysis: in memory, and in the database as far as there is one. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { reason } from './database.ts';
import type { Disk } from './disk.ts';
import type { TrackRecord } from './records.ts';
import { isQuotaError } from './room.ts';
import { SENTENCES } from './sentences.ts';
import type { SettingsState } from './settings.svelte.ts';
import * as store from './tracks.ts';

/** Analyses held in memory, the shown one included: so many at most, and so many seconds of music (about 10 kB each). */
const ANALYSES_IN_MEMORY = 6;
const SECONDS_IN_MEMORY = 7200;

/** State of the shown track's analysis. `outdated` and `missing`: analyse it again. */
export type AnalysisState = 'none' | 'loading' | 'ready' | 'outdated' | 'missing';

export class Shelf {
  /** In order, without removed ones. */
  tracks = $state.raw<readonly TrackRecord[]>([]);
  /** Tracks whose analysis must be made again before it can be shown. */
  outdated = $state.raw<ReadonlySet<string>>(new Set());
  selectedId = $state<string | null>(null);
  analysis = $state.raw<TrackAnalysis | null>(null);
  analysisState = $state<AnalysisState>('none');

  readonly #disk: Disk;
  readonly #settings: SettingsState;
  readonly #report: (sentence: string) => void;
  /** Newest last. */
  readonly #memory = new Map<string, TrackAnalysis>();
  /** Analyses that are nowhere but in memory. */
  readonly #unsaved = new Set<string>();

  constructor(disk: Disk, settings: SettingsState, report: (sentence: string) => void) {
    this.#disk = disk;
    this.#settings = settings;
    this.#report = report;
  }

  /** @returns the tracks whose removal can still be undone */
  async load(): Promise<TrackRecord[]> {
    if (!this.#disk.db) return [];
    const { tracks, outdated } = await store.listTracks(this.#disk.db);
    const unsaved = this.tracks.filter((t) => this.#unsaved.has(t.id) && !tracks.some((s) => s.id === t.id));
    this.tracks = [...tracks.filter((t) => t.removedAt === null), ...unsaved];
    this.outdated = outdated;
    return tracks.filter((t) => t.removedAt !== null);
  }

  get(id: string | null): TrackRecord | null {
    return this.tracks.find((t) => t.id === id) ?? null;
  }

  /** The track that was shown last, else the first one. */
  get startingTrack(): string | null {
    const last = this.get(this.#settings.current.selected);
    return (last ?? this.tracks[0])?.id ?? null;
  }

  /** Shows a track and loads its analysis. */
  async show(id: string | null): Promise<void> {
    this.selectedId = id;
    if (this.#settings.current.selected !== id) this.#settings.set('selected', id);
    this.analysis = id === null ? null : (this.#memory.get(id) ?? null);
    this.analysisState = id === null ? 'none' : this.analysis ? 'ready' : 'loading';
    if (id === null || this.analysis) return;
    const analysis = await this.analysisOf(id);
    if (this.selectedId !== id || this.analysis) return; // another one was chosen meanwhile
    this.analysis = analysis;
    this.analysisState = analysis ? 'ready' : this.outdated.has(id) ? 'outdated' : 'missing';
  }

  /** A track's analysis, from memory or the database; null when it must be made again. */
  async analysisOf(id: string): Promise<TrackAnalysis | null> {
    const known = this.#memory.get(id);
    if (known) return known;
    const reading = await this.#disk.read<store.AnalysisReading>((db) => store.readAnalysis(db, id), {
      state: 'missing',
    });
    if (reading.state !== 'current') return null;
    this.#remember(id, reading.analysis);
    return reading.analysis;
  }

  /**
   * Takes a track in, or renews it. What cannot be stored is told and stays until the page is closed.
   * @returns the record with its place in the list
   */
  async put(track: TrackRecord, analysis: TrackAnalysis, cover: Blob | null): Promise<TrackRecord> {
    let stored: TrackRecord = { ...track, order: this.get(track.id)?.order ?? store.nextOrder(this.tracks) };
    this.#unsaved.add(track.id);
    try {
      if (this.#disk.db) {
        stored = await store.saveTrack(this.#disk.db, { track, analysis, cover, now: Date.now() });
        this.#unsaved.delete(track.id);
      }
    } catch (error) {
      this.#report(
        isQuotaError(error)
          ? SENTENCES.noRoomForTrack(track.name)
          : SENTENCES.notSaved(`“${track.name}”`, reason(error)),
      );
    }
    this.#remember(track.id, analysis);
    this.outdated = new Set([...this.outdated].filter((id) => id !== track.id));
    this.giveBack([stored]);
    if (this.selectedId === track.id) {
      this.analysis = analysis;
      this.analysisState = 'ready';
    } else if (this.selectedId === null) await this.show(track.id);
    return stored;
  }

  /** Puts tracks back into the list, at their places. */
  giveBack(tracks: readonly TrackRecord[]): void {
    const ids = new Set(tracks.map((t) => t.id));
    this.tracks = store.inOrder([...this.tracks.filter((t) => !ids.has(t.id)), ...tracks]);
  }

  /** Takes tracks off the list and shows a neighbour when the shown one is among them. */
  async take(leaving: readonly TrackRecord[]): Promise<void> {
    const gone = new Set(leaving.map((t) => t.id));
    const place = this.tracks.findIndex((t) => t.id === this.selectedId);
    const after = this.tracks.slice(Math.max(0, place)).find((t) => !gone.has(t.id));
    this.tracks = this.tracks.filter((t) => !gone.has(t.id));
    if (this.selectedId === null || !gone.has(this.selectedId)) return;
    await this.show((after ?? this.tracks.at(-1))?.id ?? null);
  }

  /** Moves a track to another place in the list. */
  async move(id: string, index: number): Promise<void> {
    const from = this.tracks.findIndex((t) => t.id === id);
    if (from < 0) return;
    const moved = this.tracks.toSpliced(from, 1).toSpliced(index, 0, this.tracks[from]);
    this.tracks = moved.map((track, order) => ({ ...track, order }));
    const ids = moved.map((t) => t.id);
    await this.#disk.write('The order', (db) => store.orderTracks(db, ids));
  }

  /** Changes a track's record, in memory and in the database. */
  async change(id: string, change: Partial<TrackRecord>, what: string): Promise<void> {
    this.tracks = this.tracks.map((t) => (t.id === id ? { ...t, ...change } : t));
    await this.#disk.write(what, (db) => store.changeTracks(db, [id], (track) => ({ ...track, ...change })));
  }

  /** Lets go of what is remembered of tracks that are gone for good. */
  forget(ids: readonly string[]): void {
    for (const id of ids) {
      this.#memory.delete(id);
      this.#unsaved.delete(id);
    }
  }

  #remember(id: string, analysis: TrackAnalysis): void {
    this.#memory.delete(id);
    this.#memory.set(id, analysis);
    let seconds = [...this.#memory.values()].reduce((sum, each) => sum + each.duration, 0);
    for (const [oldest, { duration }] of [...this.#memory]) {
      if (this.#memory.size <= ANALYSES_IN_MEMORY && seconds <= SECONDS_IN_MEMORY) break;
      if (oldest === this.selectedId || oldest === id || this.#unsaved.has(oldest)) continue;
      this.#memory.delete(oldest);
      seconds -= duration;
    }
  }
}
