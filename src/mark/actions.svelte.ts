/** What can be done in “Mark”, each once, for buttons and keys alike. */
import * as grids from '../../shared/grid/edit.ts';
import type { EditedGrid } from '../../shared/grid/edit-model.ts';
import { addTap, setFromTaps, type TapTempo, tapTempo } from '../../shared/grid/edit-taps.ts';
import { barAndBeat, beatAtTime, tempoAt, timeOfBeat } from '../../shared/grid/grid.ts';
import * as lists from '../../shared/sections/edit.ts';
import type { AxisState } from '../ladder/ladder.svelte.ts';
import { place } from '../ladder/view.ts';
import type { Transport } from '../player/transport.svelte.ts';
import type { EditsState } from './edits.svelte.ts';
import type { LookAgain } from './look-again.svelte.ts';
import type { Metronome } from './metronome.svelte.ts';
import { words } from './words.ts';

/**
 * A beat nearer to the playhead than this is the one it stands on, s: after a nudge the beat that is looked at lies
 * some milliseconds beside the playhead, and a step leads to the next one all the same.
 */
const ON_BEAT = 0.04;

export const SCALES = {
  half: { beats: 1, over: 2 },
  double: { beats: 2, over: 1 },
  threeHalves: { beats: 3, over: 2 },
  twoThirds: { beats: 2, over: 3 },
} as const;
export type Scale = keyof typeof SCALES;

export class MarkActions {
  taps = $state.raw<readonly number[]>([]);
  readonly tapped = $derived<TapTempo | null>(tapTempo(this.taps));
  /** The section picked by hand, else null: then it is the one at the playhead. */
  picked = $state<number | null>(null);

  readonly edits: EditsState;
  readonly axis: AxisState;
  readonly transport: Transport;
  readonly metronome: Metronome;
  readonly look: LookAgain;

  constructor(parts: {
    edits: EditsState;
    axis: AxisState;
    transport: Transport;
    metronome: Metronome;
    look: LookAgain;
  }) {
    this.edits = parts.edits;
    this.axis = parts.axis;
    this.transport = parts.transport;
    this.metronome = parts.metronome;
    this.look = parts.look;
  }

  /** Index of the section that is worked on. */
  get section(): number {
    const { sections } = this.edits;
    if (this.picked !== null && this.picked < sections.length) return this.picked;
    return lists.sectionAt(sections, this.transport.time);
  }

  /** Another track: what was picked or tapped means nothing there. */
  forget(): void {
    this.taps = [];
    this.picked = null;
  }

  nudge(ms: number): void {
    this.#gridKey(words.did.nudge(ms), (grid) => grids.nudge(grid, ms));
  }

  beatOne(): void {
    const { now } = this.transport;
    this.#gridKey(words.did.beatOne(place(now)), (grid) => grids.setBeatOne(grid, now));
  }

  barLater(): void {
    this.#gridKey(words.did.barLater, (grid) => grids.turnBars(grid, 1));
  }

  phraseHere(): void {
    const { now } = this.transport;
    this.#gridKey(words.did.phrase(place(now)), (grid) => grids.setPhraseStart(grid, now));
  }

  scale(by: Scale): void {
    this.#gridKey(words.did[by], (grid) => grids.scaleTempo(grid, SCALES[by]));
  }

  /** An edit of the grid that a key may ask for, also in the moment after a track was chosen. */
  #gridKey(what: string, edit: (grid: EditedGrid) => EditedGrid): void {
    this.edits.whenReady(() => this.edits.editGrid(what, edit));
  }

  /** @returns whether the tempo was taken */
  setTempo(bpm: number): boolean {
    const { now } = this.transport;
    return this.edits.editGrid(words.did.tempo(String(bpm)), (grid) => grids.setTempo(grid, bpm, now));
  }

  tap(): void {
    this.taps = addTap(this.taps, this.transport.now);
  }

  useTaps(): void {
    const bpm = this.tapped?.bpm.toFixed(2) ?? '';
    if (this.edits.editGrid(words.did.taps(bpm), (grid) => setFromTaps(grid, this.taps))) this.taps = [];
  }

  addAnchor(): void {
    const { now } = this.transport;
    this.#gridKey(words.did.anchor(place(now)), (grid) => grids.addAnchor(grid, now));
  }

  moveAnchor(beat: number, time: number): void {
    this.edits.editGrid(words.did.anchorMoved(place(time)), (grid) => grids.moveAnchor(grid, beat, time));
  }

  removeAnchor(beat: number): void {
    this.edits.editGrid(words.did.anchorRemoved, (grid) => grids.removeAnchor(grid, beat));
  }

  toggleLock(): void {
    this.edits.whenReady(() => {
      const locked = !this.edits.grid?.locked;
      this.edits.editGrid(locked ? words.did.lock : words.did.unlock, (grid) =>
        grids.setLocked(grid, locked),
      );
    });
  }

  toggleMetronome(): void {
    this.metronome.toggle();
    this.edits.tell(this.metronome.on ? words.metronomeStarted : words.metronomeStopped);
  }

  /** Puts the playhead on the beat before or after it. */
  step(by: 1 | -1): void {
    const { grid } = this.edits;
    if (!grid?.segments.length) return;
    const beat = beatAtTime(grid, this.transport.now);
    const slack = (ON_BEAT * (tempoAt(grid, this.transport.now) ?? 0)) / 60;
    const next = by > 0 ? Math.floor(beat + slack) + 1 : Math.ceil(beat - slack) - 1;
    const time = timeOfBeat(grid, next);
    if (time >= 0 && time <= this.axis.duration) this.axis.seek(time);
  }

  split(): void {
    const { now } = this.transport;
    this.edits.whenReady(() => {
      const { grid } = this.edits;
      if (!grid) return;
      const done = this.edits.editSections(words.did.split(place(now)), (list) =>
        lists.splitSection(list, now, grid),
      );
      if (done) this.picked = null;
    });
  }

  join(): void {
    this.edits.whenReady(() => {
      const index = this.section;
      const label = this.edits.sections[index]?.label ?? '';
      this.edits.editSections(words.did.joined(label), (list) => lists.joinWithNext(list, index));
    });
  }

  deleteSection(): void {
    this.edits.whenReady(() => {
      const index = this.section;
      const label = this.edits.sections[index]?.label ?? '';
      const done = this.edits.editSections(words.did.deleted(label), (list) =>
        lists.deleteSection(list, index),
      );
      if (done) this.picked = null;
    });
  }

  rename(label: string): boolean {
    const index = this.section;
    return this.edits.editSections(words.did.renamed(label.trim()), (list) =>
      lists.renameSection(list, index, label),
    );
  }

  moveBoundary(index: number, time: number): void {
    const { grid } = this.edits;
    const label = this.edits.sections[index]?.label ?? '';
    if (!grid) return;
    this.edits.editSections(words.did.boundary(label), (list) => lists.moveBoundary(list, index, time, grid));
  }

  snapAll(): void {
    const { grid } = this.edits;
    if (grid) this.edits.editSections(words.did.snapped, (list) => lists.snapAll(list, grid));
  }

  /** “bar 17, beat 1” of the beat nearest to `time`, or '' without a grid. */
  beatName(time: number): string {
    const { grid } = this.edits;
    if (!grid?.segments.length) return '';
    const { bar, beat } = barAndBeat(grid, Math.round(beatAtTime(grid, time)));
    return words.barBeat(bar, beat);
  }
}
