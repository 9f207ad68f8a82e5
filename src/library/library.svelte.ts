/* eslint svelte/prefer-svelte-reactivity: off -- sets and maps here are not shown */
/** The person's library as the page sees it: its parts, and everything that is done across them. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import type { DoneReply } from '../../workers/protocol.ts';
import type { Job } from '../queue/job.ts';
import { AnalysisQueue } from '../queue/queue.ts';
import { QueueState } from '../queue/queue.svelte.ts';
import { AudioState } from './audio.svelte.ts';
import {
  type BackupOptions,
  BackupFault,
  type Carried,
  carryOut,
  type Choice,
  type ImportPlan,
  planImport,
  readBackup,
  writeBackup,
} from './backup.ts';
import { reason } from './database.ts';
import { DemoState } from './demo.svelte.ts';
import { GigStore } from './gigs.ts';
import { Disk } from './disk.ts';
import { Notices } from './notices.svelte.ts';
import { OwnProfilesState } from './profiles.svelte.ts';
import { recognise } from './recognise.ts';
import { type DemoSource, type EditRecord, newTrack, type TrackRecord } from './records.ts';
import { RemovalsState } from './removals.svelte.ts';
import { asRecord } from './second-opinion.ts';
import type { LibraryDb } from './schema.ts';
import { askPersistence, type Persistence, roomReport, type RoomReport } from './room.ts';
import { SENTENCES } from './sentences.ts';
import { SettingsState } from './settings.svelte.ts';
import { type AnalysisState, Shelf } from './shelf.svelte.ts';
import { browserTools, type Change, type LibraryTools } from './tools.ts';
import * as store from './tracks.ts';
import { TrainingStore } from './training.ts';
import { type GivenFile, UnreadFiles } from './unread.svelte.ts';

export class Library {
  /** `ready` once the list is there; analyses come when they are asked for. */
  state = $state<'opening' | 'ready'>('opening');

  readonly notices = new Notices();
  readonly settings: SettingsState;
  readonly profiles: OwnProfilesState;
  readonly audio: AudioState;
  readonly removals: RemovalsState;
  readonly demo: DemoState;
  readonly training: TrainingStore;
  readonly unread: UnreadFiles;
  readonly gigs: GigStore;
  readonly queue: AnalysisQueue;
  readonly jobs: QueueState;

  readonly #tools: LibraryTools;
  readonly #disk: Disk;
  readonly #shelf: Shelf;
  readonly #demoJobs = new Map<string, DemoSource>();
  /** The job whose track is to be shown when it is done, unless the person chooses another. */
  #following: string | null = null;
  #opinions: Promise<void> = Promise.resolve();
  readonly #asking = new Set<string>();
  #stopListening: () => void = () => {};
  /** Whoever keeps something back for a moment: each begins to write it when called. */
  readonly waiting = new Set<() => Promise<void>>();
  /** Whoever shows something that another tab may change. */
  readonly elsewhere = new Set<(change: Change) => void>();
  /** When the corrections that this tab has of a track were saved: another time means that another tab saved. */
  readonly #saved = new Map<string, number | null>();

  constructor(tools: Partial<LibraryTools> = {}) {
    this.#tools = { ...browserTools(), ...tools };
    const { storage, fetch, createWorker, lanes, announce, databaseName: name, demoBase: base } = this.#tools;
    const report = this.notices.add;
    const disk = new Disk({ report, name, lastCall: () => void this.flush() });
    const settings = new SettingsState(disk, report);
    this.#disk = disk;
    this.settings = settings;
    this.#shelf = new Shelf(disk, settings, report);
    this.profiles = new OwnProfilesState(disk, report, () => announce({ kind: 'tracks' }));
    this.audio = new AudioState({ disk, settings, storage, fetch, createWorker, report });
    this.training = new TrainingStore(disk);
    this.unread = new UnreadFiles({ disk, storage, mayKeep: () => settings.current.keepAudio === 'yes' });
    this.gigs = new GigStore(disk, () => announce({ kind: 'gigs' }));
    this.removals = new RemovalsState(disk, (ids) => this.#forget(ids));
    this.demo = new DemoState({
      settings,
      fetch,
      base,
      report,
      tracks: () => this.tracks,
      editedIds: () => disk.read(store.editedIds, new Set<string>()),
      add: (track, analysis) => this.#put(track, analysis, null),
      analyse: (file, fileName, demo) => {
        for (const job of this.queue.add([{ file, name: fileName }])) this.#demoJobs.set(job.id, demo);
      },
      remove: (tracks) => this.remove(tracks.map((t) => t.id)),
      replace: (tracks) => this.#replace(tracks),
    });
    this.queue = new AnalysisQueue({
      createWorker,
      lanes,
      recognise: (file, signal) => recognise(file, this.#recognisable(), signal),
      known: (job, id) => this.#giveAgain(job, id),
      accept: (job, result) => this.#accept(job, result),
    });
    this.jobs = new QueueState(this.queue);
    this.queue.on('ended', (job) => {
      this.#demoJobs.delete(job.id);
      this.unread.ended(job);
    });
  }

  /** In order, without removed ones. */
  get tracks(): readonly TrackRecord[] {
    return this.#shelf.tracks;
  }

  /** Tracks whose analysis must be made again before it can be shown. */
  get outdated(): ReadonlySet<string> {
    return this.#shelf.outdated;
  }

  get selectedId(): string | null {
    return this.#shelf.selectedId;
  }

  get selected(): TrackRecord | null {
    return this.#shelf.get(this.#shelf.selectedId);
  }

  /** The selected track's analysis, once it is loaded. */
  get analysis(): TrackAnalysis | null {
    return this.#shelf.analysis;
  }

  get analysisState(): AnalysisState {
    return this.#shelf.analysisState;
  }

  /**
   * Loads settings, profiles and the list (then `state` is `ready`), shows the track that was shown last, then
   * sees to the demo set. Resolves when all of it is done.
   */
  async open(): Promise<void> {
    await this.#disk.open();
    await Promise.all([this.settings.load(), this.profiles.load(), this.audio.load()]);
    const removed = await this.#shelf.load();
    this.state = 'ready';
    this.#stopListening = this.#tools.listen((change) => void this.#changedElsewhere(change));
    await Promise.all([this.removals.load(removed), this.#shelf.show(this.#shelf.startingTrack)]);
    this.#goOnWith(await this.unread.load());
    await this.demo.start();
  }

  /** Puts files into the queue; the first of them is shown when it is ready. */
  add(files: Iterable<File | GivenFile>): Job[] {
    const jobs = this.#goOnWith([...files].map((each) => (each instanceof File ? { file: each } : each)));
    this.#following = jobs[0]?.id ?? this.#following;
    return jobs;
  }

  /** Reads what is left of the last visit, as far as the browser allows it now. */
  async goOnReading(): Promise<void> {
    this.#goOnWith(await this.unread.goOn());
  }

  #goOnWith(given: readonly GivenFile[]): Job[] {
    const jobs = this.queue.add(given.map(({ file }) => ({ file, name: file.name })));
    this.unread.note(jobs, given);
    return jobs;
  }

  /** Shows a track and loads its analysis. */
  async select(id: string | null): Promise<void> {
    this.#following = null;
    await this.#shelf.show(id);
  }

  /** Any track's analysis; null when it must be made again. */
  analysisOf(id: string): Promise<TrackAnalysis | null> {
    return this.#shelf.analysisOf(id);
  }

  coverOf(id: string): Promise<Blob | null> {
    return this.#disk.read((db) => store.readCover(db, id), null);
  }

  /** What the person corrected in a track, or null. */
  async editOf(id: string): Promise<EditRecord | null> {
    const edit = await this.#disk.read((db) => store.readEdit(db, id), null);
    this.#saved.set(id, edit?.savedAt ?? null);
    return edit;
  }

  /** Begins its transaction synchronously, so that it is in time when the page closes. */
  async saveEdit(id: string, edit: Omit<EditRecord, 'id' | 'savedAt'>): Promise<void> {
    const record: EditRecord = { ...($state.snapshot(edit) as typeof edit), id, savedAt: Date.now() };
    const base = this.#saved.get(id);
    this.#saved.set(id, record.savedAt);
    const written = await this.#disk.write('The correction', (db) => store.saveEdit(db, record, base));
    if (!written) return;
    this.#tools.announce({ kind: 'edit', id });
    if (written === record) return;
    this.#saved.set(id, written.savedAt);
    this.notices.add(SENTENCES.joinedTabs(this.#shelf.get(id)?.name ?? id));
    this.#tell({ kind: 'edit', id });
  }

  /** What the list shows of the grid: the corrected tempo, and that it was corrected. */
  async noteGrid(id: string, tempo: number | null, byHand: boolean): Promise<void> {
    const track = this.#shelf.get(id);
    if (!track) return;
    const { summary } = track;
    if (summary.tempo === tempo && (summary.gridByHand ?? false) === byHand) return;
    await this.#shelf.change(
      id,
      { summary: { ...summary, tempo, gridByHand: byHand } },
      'The tempo in the list',
    );
  }

  /** Takes tracks out of the list; `undoRemoval` brings them back until that lapses. */
  async remove(ids: readonly string[]): Promise<void> {
    const leaving = this.tracks.filter((t) => ids.includes(t.id));
    if (!leaving.length) return;
    await Promise.all([this.removals.remove(leaving), this.#shelf.take(leaving)]);
    this.#tools.announce({ kind: 'tracks' });
  }

  /** Undoes the removal made `at`, the newest one by default. */
  async undoRemoval(at = this.removals.list[0]?.at): Promise<void> {
    if (at !== undefined) await this.#welcomeBack(await this.removals.undo(at));
  }

  /** Moves a track to another place in the list. */
  async move(id: string, index: number): Promise<void> {
    await this.#shelf.move(id, index);
    this.#tools.announce({ kind: 'tracks' });
  }

  /**
   * Analyses a track again; what was corrected by hand stays.
   * @param tempoAround where to look for the tempo first, bpm; by default where the person had it looked for last
   * @returns the job, or null when its file must be given again (which is said)
   */
  async lookAgain(id: string, tempoAround = this.#shelf.get(id)?.tempoAround): Promise<Job | null> {
    const track = this.#shelf.get(id);
    if (!track) return null;
    const file = await this.audio.blobOf(track);
    if (file) return this.queue.add([{ file, name: track.name, again: true, tempoAround }])[0];
    if (!track.demo) this.notices.add(SENTENCES.giveAgain(track.name));
    return null;
  }

  /** Analyses a track again. @returns false when its file must be given again (which is said) */
  async analyseAgain(id: string): Promise<boolean> {
    return (await this.lookAgain(id)) !== null;
  }

  /** Asks for the second opinion on a track that has none yet, such as one of the demo. */
  async askSecondOpinion(id: string): Promise<void> {
    const track = this.#shelf.get(id);
    if (!track || track.secondOpinion || this.#asking.has(id)) return;
    this.#asking.add(id);
    try {
      const file = await this.audio.blobOf(track);
      if (file) await this.#askOpinion(id, await this.#tools.previewOfFile(file, track.name));
    } catch {
      // The track has its own tempo already; it is asked again at the next visit.
    } finally {
      this.#asking.delete(id);
    }
  }

  /** What the browser says of the room that is left. */
  room(): Promise<RoomReport> {
    return roomReport(this.#tools.storage);
  }

  /** Asks the browser not to clear the library when the disk runs short. */
  askToStay(): Promise<Persistence> {
    return askPersistence(this.#tools.storage);
  }

  /** Everything but the audio as one file. @throws BackupFault */
  async backup(options: Omit<BackupOptions, 'now'>): Promise<Blob> {
    await this.flush();
    return writeBackup(this.#open(), { ...options, now: Date.now() });
  }

  /** What restoring a backup would do; nothing is done yet. @throws BackupFault */
  async openBackup(file: Blob, name: string): Promise<ImportPlan> {
    await this.flush();
    return planImport(this.#open(), await readBackup(file, name));
  }

  /** Does it. The page should be opened anew afterwards: it still shows the library as it was. @throws BackupFault */
  async restore(plan: ImportPlan, choices: ReadonlyMap<string, Choice>): Promise<Carried> {
    await this.flush();
    const carried = await carryOut(this.#open(), plan, choices, Date.now());
    this.#tools.announce({ kind: 'tracks' });
    return carried;
  }

  #open(): LibraryDb {
    const { db } = this.#disk;
    if (!db) throw new BackupFault(SENTENCES.nothingKept);
    return db;
  }

  /** Writes whatever still waits; call it when the page is hidden. */
  async flush(): Promise<void> {
    await Promise.all([this.settings.flush(), ...[...this.waiting].map((write) => write())]);
  }

  /** Whether anything outlives the page: there is a database. */
  get keeps(): boolean {
    return this.#disk.db !== null;
  }

  /** Writes what still waits. @returns whether all of it was written; what was not has been reported */
  async saveAll(): Promise<boolean> {
    const { failures } = this.#disk;
    await this.flush();
    return this.#disk.failures === failures && !this.settings.waiting;
  }

  async close(): Promise<void> {
    this.#stopListening();
    this.unread.close();
    this.queue.dispose();
    this.removals.dispose();
    await this.flush();
    this.#disk.close();
  }

  async #changedElsewhere(change: Change): Promise<void> {
    if (change.kind === 'tracks') await this.#reload();
    this.#tell(change);
  }

  #tell(change: Change): void {
    for (const listener of this.elsewhere) listener(change);
  }

  /** Another tab changed the list. */
  async #reload(): Promise<void> {
    await Promise.all([this.#shelf.load(), this.audio.load(), this.profiles.load()]);
    if (!this.selected) await this.#shelf.show(this.tracks[0]?.id ?? null);
  }

  /** Listed and removed tracks. An outdated one goes through the analysis again when its file is given. */
  #recognisable(): TrackRecord[] {
    const removed = this.removals.list.flatMap((r) => r.tracks);
    return [...this.tracks, ...removed].filter((t) => !this.outdated.has(t.id));
  }

  async #put(track: TrackRecord, analysis: TrackAnalysis, cover: Blob | null): Promise<TrackRecord> {
    await this.removals.rescue(track.id);
    const stored = await this.#shelf.put(track, analysis, cover);
    this.#tools.announce({ kind: 'tracks' });
    return stored;
  }

  async #accept(job: Job, { hash, tags, analysis, preview }: DoneReply): Promise<void> {
    const demo = this.#demoJobs.get(job.id) ?? null;
    const namesake = this.tracks.find((t) => t.name === job.name && t.id !== hash);
    const file = { id: hash, name: job.name, size: job.file.size, demo };
    const cover = tags.cover && new Blob([new Uint8Array(tags.cover.bytes)], { type: tags.cover.mime });
    const { tempoAround } = job;
    const made = { ...newTrack(file, tags, analysis, Date.now()), tempoAround };
    const track = await this.#put(made, analysis, cover);
    if (namesake && !this.audio.has(namesake)) this.notices.add(SENTENCES.otherContent(job.name));
    await this.#arrived(job, track);
    void this.#askOpinion(hash, preview);
  }

  async #giveAgain(job: Job, id: string): Promise<void> {
    const rescued = await this.removals.rescue(id);
    if (rescued) await this.#welcomeBack([rescued]);
    const track = this.#shelf.get(id);
    if (track) await this.#arrived(job, track);
  }

  async #arrived(job: Job, track: TrackRecord): Promise<void> {
    if (!track.demo) await this.audio.give(track, job.file);
    if (this.#following !== job.id) return;
    this.#following = null;
    await this.#shelf.show(track.id);
  }

  async #welcomeBack(tracks: readonly TrackRecord[]): Promise<void> {
    if (!tracks.length) return;
    this.#shelf.giveBack(tracks);
    this.demo.cameBack(tracks);
    if (this.selectedId === null) await this.#shelf.show(tracks[0].id);
    this.#tools.announce({ kind: 'tracks' });
  }

  /** One at a time: each takes the browser's audio engine for a moment. */
  #askOpinion(id: string, preview: DoneReply['preview']): Promise<void> {
    this.#opinions = this.#opinions
      .then(async () => {
        const secondOpinion = asRecord(await this.#tools.secondOpinion(preview));
        await this.#shelf.change(id, { secondOpinion }, 'The second opinion');
      })
      .catch((error: unknown) => this.notices.add(reason(error)));
    return this.#opinions;
  }

  /** Deletes older renderings of demo tracks at once: there is nothing of the person's in them. */
  async #replace(tracks: readonly TrackRecord[]): Promise<void> {
    const ids = tracks.map((t) => t.id);
    await this.#shelf.take(tracks);
    await this.#disk.write('The older demo set', (db) => store.deleteTracks(db, ids));
    this.#forget(ids);
  }

  #forget(ids: readonly string[]): void {
    const gone = ids.filter((id) => !this.#shelf.get(id));
    this.#shelf.forget(gone);
    this.audio.forget(gone);
  }
}
