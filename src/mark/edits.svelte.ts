/** The corrections and markers of the chosen track: what they make of its grid and sections, and every way to change them. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { ExchangeFault } from '../../shared/exchange/types.ts';
import { type EditedGrid, GridEditFault } from '../../shared/grid/edit-model.ts';
import { mainTempo } from '../../shared/grid/grid.ts';
import { type Marker, MarkerFault } from '../../shared/markers/marker.ts';
import { measureEnergies } from '../../shared/sections/energy.ts';
import { type EditedSection, SectionEditFault, wholeTrack } from '../../shared/sections/edit.ts';
import type { CorrectionHistory, Corrections, EditRecord } from '../library/records.ts';
import { createSaver } from '../library/saver.ts';
import type { Change } from '../library/tools.ts';
import * as history from './history.ts';
import { words } from './words.ts';

/** What of the library is needed here. */
export interface EditShelf {
  editOf(id: string): Promise<EditRecord | null>;
  saveEdit(id: string, edit: Omit<EditRecord, 'id' | 'savedAt'>): Promise<void>;
  /** What the list shows of the grid. */
  noteGrid(id: string, tempo: number | null, byHand: boolean): Promise<void>;
  /** Called when the page closes. */
  readonly waiting: Set<() => Promise<void>>;
  /** Called when another tab changed something. */
  readonly elsewhere: Set<(change: Change) => void>;
}

type Analysed = Pick<TrackAnalysis, 'grid' | 'sections' | 'duration' | 'pyramid'>;

/** Tells a screen reader of a sentence again when it is the same as before. */
export interface News {
  sentence: string;
  refused: boolean;
}

/** One list for all, so that “no markers” is always the same value. */
const NO_MARKERS: readonly Marker[] = [];

export class EditsState {
  /** What the last edit did, or why it could not be made. */
  news = $state.raw<News | null>(null);
  /** The stored corrections of the chosen track are here: it can be edited. */
  ready = $state(false);

  #id = $state.raw<string | null>(null);
  #analysis = $state.raw<Analysed | null>(null);
  #history = $state.raw<CorrectionHistory>(history.newHistory());

  /** What was asked for before the stored corrections were here. */
  #later: (() => void)[] = [];

  readonly #shelf: EditShelf;
  readonly #saver = createSaver<CorrectionHistory>({
    write: async (batch) => {
      await Promise.all(
        [...batch].map(([id, kept]) => {
          const { grid, sections, markers = null } = history.current(kept);
          return this.#shelf.saveEdit(id, { grid, sections, markers, history: kept });
        }),
      );
    },
  });

  readonly #now = $derived(history.current(this.#history));
  /** The grid in force: the corrected one, else the analysis's. */
  readonly grid = $derived<EditedGrid | null>(this.#now.grid ?? this.#analysis?.grid ?? null);
  readonly sections = $derived<readonly EditedSection[]>(
    this.#now.sections ?? this.#analysis?.sections ?? [],
  );
  /** In order of time. */
  readonly markers = $derived<readonly Marker[]>(this.#now.markers ?? NO_MARKERS);
  readonly gridByHand = $derived(this.#now.grid !== null);
  readonly sectionsByHand = $derived(this.#now.sections !== null);
  readonly canUndo = $derived(history.canUndo(this.#history));
  readonly canRedo = $derived(history.canRedo(this.#history));
  readonly undoes = $derived(history.undoes(this.#history));
  readonly redoes = $derived(history.redoes(this.#history));

  constructor(shelf: EditShelf) {
    this.#shelf = shelf;
    shelf.waiting.add(() => this.flush());
    shelf.elsewhere.add((change) => {
      if (change.kind === 'edit' && change.id === this.#id) void this.reread();
    });
  }

  /** Whose corrections these are. */
  get trackId(): string | null {
    return this.#id;
  }

  /** Takes up a track: its corrections are read once; a new analysis of the same track leaves them alone. */
  async take(id: string | null, analysis: Analysed | null): Promise<void> {
    this.#analysis = analysis;
    // Analysed again: the list took its tempo from the analysis, which a corrected grid overrules.
    if (id === this.#id) return this.ready ? this.#noteGrid() : undefined;
    this.#id = id;
    this.#history = history.newHistory();
    this.news = null;
    this.ready = false;
    this.#later = [];
    if (id === null) return;
    const waiting = this.#saver.pending.get(id);
    if (!waiting) await this.#saver.flush();
    const kept = waiting ?? history.readHistory(await this.#shelf.editOf(id));
    if (this.#id !== id) return; // another one was chosen meanwhile
    this.#history = kept;
    this.ready = true;
    this.#noteGrid();
    for (const act of this.#later.splice(0)) act();
  }

  /**
   * Does something to the chosen track as soon as its stored corrections are here. For keys: a press in the moment
   * after a track was chosen is not to be lost. Nothing happens where another track is chosen before that.
   */
  whenReady(act: () => void): void {
    if (this.ready) act();
    else if (this.#id !== null) this.#later.push(act);
  }

  /** Reads the chosen track's corrections anew: they were changed elsewhere. */
  async reread(): Promise<void> {
    const [id, analysis] = [this.#id, this.#analysis];
    await this.flush();
    // Another track was taken up meanwhile, and with it what is on the disk.
    if (this.#id !== id) return;
    this.#id = null;
    await this.take(id, analysis);
  }

  /**
   * Changes the grid.
   * @param what the edit in words, for undo
   * @returns whether it was made; why not is told as news
   */
  editGrid(what: string, edit: (grid: EditedGrid) => EditedGrid): boolean {
    const { grid } = this;
    if (!grid || !this.ready) return false;
    return this.#attempt(what, () => ({ grid: edit(grid) }));
  }

  /** Changes the sections; energies are measured anew. */
  editSections(what: string, edit: (sections: readonly EditedSection[]) => EditedSection[]): boolean {
    const analysis = this.#analysis;
    if (!analysis || !this.ready) return false;
    return this.#attempt(what, () => {
      const edited = edit(wholeTrack(this.sections, analysis.duration));
      return { sections: measureEnergies(edited, analysis.pyramid) };
    });
  }

  /** Changes the markers. */
  editMarkers(what: string, edit: (markers: readonly Marker[]) => Marker[]): boolean {
    if (!this.ready) return false;
    return this.#attempt(what, () => ({ markers: edit(this.markers) }));
  }

  /** Takes the corrections of grid and sections back, which can be undone. A locked grid stays, and so do markers. */
  backToAnalysis(): void {
    this.whenReady(() => {
      if (this.grid?.locked) return this.#tell(words.lockedFirst, true);
      if (!this.gridByHand && !this.sectionsByHand) return this.#tell(words.nothingCorrected, true);
      this.#attempt(words.did.back, () => ({ grid: null, sections: null }));
    });
  }

  undo(): void {
    this.whenReady(() => {
      if (!this.canUndo) return this.#tell(words.nothingToUndo, true);
      const what = this.undoes;
      this.#change(history.undo(this.#history), words.undone(what));
    });
  }

  redo(): void {
    this.whenReady(() => {
      if (!this.canRedo) return this.#tell(words.nothingToRedo, true);
      const what = this.redoes;
      this.#change(history.redo(this.#history), words.redone(what));
    });
  }

  /** Tells why something could not be done. */
  refuse(sentence: string): void {
    this.#tell(sentence, true);
  }

  /** Tells something that is not an edit. */
  tell(sentence: string): void {
    this.#tell(sentence, false);
  }

  /** Writes what still waits, beginning synchronously. */
  flush(): Promise<void> {
    return this.#saver.flush();
  }

  #attempt(what: string, make: () => Partial<Corrections>): boolean {
    try {
      const { grid, sections, markers = null } = this.#now;
      this.#change(history.record(this.#history, { grid, sections, markers, ...make(), what }), what);
      return true;
    } catch (error) {
      const refusals = [GridEditFault, SectionEditFault, MarkerFault, ExchangeFault];
      if (!(error instanceof Error) || !refusals.some((fault) => error instanceof fault)) throw error;
      this.#tell(error.message, true);
      return false;
    }
  }

  #change(next: CorrectionHistory, sentence: string): void {
    const id = this.#id;
    if (id === null) return;
    this.#history = next;
    this.#saver.set(id, next);
    this.#noteGrid();
    this.#tell(sentence, false);
  }

  #noteGrid(): void {
    if (this.#id === null || !this.grid) return;
    void this.#shelf.noteGrid(this.#id, mainTempo(this.grid), this.gridByHand);
  }

  #tell(sentence: string, refused: boolean): void {
    this.news = { sentence, refused };
  }
}
