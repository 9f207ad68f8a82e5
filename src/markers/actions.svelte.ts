/* eslint svelte/prefer-svelte-reactivity: off -- sets are replaced whole */
/** What can be done with markers, each once, for buttons, keys and the lane alike. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { barAndBeat, beatAtTime, timeOfBeat } from '../../shared/grid/grid.ts';
import { joinMarkers } from '../../shared/exchange/join.ts';
import * as lists from '../../shared/markers/edit.ts';
import { CUE_COLOURS } from '../../shared/markers/colours.ts';
import { freeSlot, type Marker, MarkerFault, type MarkerKind } from '../../shared/markers/marker.ts';
import { proposeMarkers } from '../../shared/markers/propose.ts';
import { type CopiedScheme, copyScheme, type SchemeTrack } from '../../shared/markers/scheme.ts';
import { type Snap, snapTime } from '../../shared/markers/snap.ts';
import type { Remedy } from '../../shared/survival/verdict.ts';
import type { AxisState } from '../ladder/ladder.svelte.ts';
import { clock, place } from '../ladder/view.ts';
import type { EditsState } from '../mark/edits.svelte.ts';
import type { Transport } from '../player/transport.svelte.ts';
import { words } from './words.ts';

/** Lengths offered for a loop, beats. */
export const LOOP_LENGTHS = [0.25, 0.5, 1, 2, 4, 8, 16, 32, 64];
/** Steps by key where nothing snaps, s. */
const FREE_STEP = 0.001;
const SNAP_STEPS: Partial<Record<Snap, number>> = { beat: 1, half: 1 / 2, quarter: 1 / 4 };

export const beatsText = (beats: number): string => String(Math.round(beats * 1000) / 1000);

/** What a marker is called where it has no name of its own. */
export function nameOf(marker: Marker): string {
  const name = marker.name || words.unnamed(marker.kind, clock(marker.time, 1));
  return marker.kind === 'cue' ? words.cueName(marker.slot, name) : name;
}

export class MarkerActions {
  snap = $state<Snap>('beat');
  /** Beats of a new loop. */
  loopBeats = $state(4);
  /** What a click in the lane places. */
  tool = $state<MarkerKind | null>(null);
  /** The marker whose thread is followed. */
  current = $state<string | null>(null);
  /** The deck that is asked about, where only one is. */
  deck = $state<string | null>(null);
  /** Picked for doing something with several at once. */
  picked = $state.raw<ReadonlySet<string>>(new Set());

  readonly edits: EditsState;
  readonly axis: AxisState;
  readonly transport: Transport;
  /** The analysis in force; null while there is none. */
  readonly #analysis: () => TrackAnalysis | null;

  constructor(parts: {
    edits: EditsState;
    axis: AxisState;
    transport: Transport;
    analysis: () => TrackAnalysis | null;
  }) {
    this.edits = parts.edits;
    this.axis = parts.axis;
    this.transport = parts.transport;
    this.#analysis = parts.analysis;
  }

  get markers(): readonly Marker[] {
    return this.edits.markers;
  }

  /** The marker whose thread is followed, as long as it exists. */
  get followed(): Marker | null {
    return this.markers.find((m) => m.id === this.current) ?? null;
  }

  /** Another track. */
  forget(): void {
    this.current = null;
    this.deck = null;
    this.picked = new Set();
  }

  /** Follows one marker's thread, on one deck or on all. */
  follow(id: string | null, deck: string | null = null): void {
    this.current = id;
    this.deck = deck;
  }

  togglePick(id: string): void {
    const next = new Set(this.picked);
    if (!next.delete(id)) next.add(id);
    this.picked = next;
  }

  pickAll(all: boolean): void {
    this.picked = new Set(all ? this.markers.map((m) => m.id) : []);
  }

  /** `time` as the snapping in force puts it. */
  snapped(time: number): number {
    const analysis = this.#analysis();
    const { grid } = this.edits;
    return analysis && grid ? snapTime(time, this.snap, grid, analysis.pyramid) : time;
  }

  /** Places a marker of `kind` near `time` and follows it. */
  add(kind: MarkerKind, time: number = this.transport.now): void {
    this.edits.whenReady(() => {
      const at = this.snapped(time);
      const what =
        kind === 'loop'
          ? words.did.loop(beatsText(this.loopBeats), place(at))
          : kind === 'cue'
            ? words.did.cue(place(at))
            : words.did.mark(place(at));
      this.#add(what, () => this.#fresh(kind, at));
    });
  }

  /** Cue in `slot`: the playhead goes there; where the slot is empty a cue is placed at the playhead. */
  slot(slot: number): void {
    const { now } = this.transport;
    this.edits.whenReady(() => {
      const cue = this.markers.find((m) => m.kind === 'cue' && m.slot === slot);
      if (cue) return this.goTo(cue.id);
      const at = this.snapped(now);
      this.#add(words.did.cue(place(at)), () => ({ ...this.#fresh('cue', at), slot }) as lists.NewMarker);
    });
  }

  goTo(id: string): void {
    const marker = this.markers.find((m) => m.id === id);
    if (!marker) return;
    this.axis.seek(marker.time);
    this.follow(id, this.deck);
  }

  move(id: string, time: number): void {
    const marker = this.markers.find((m) => m.id === id);
    const { grid } = this.edits;
    if (!marker || !grid) return;
    const at = this.snapped(time);
    if (at === marker.time) return;
    this.edits.editMarkers(words.did.moved(nameOf(marker), place(at)), (markers) =>
      lists.moveTo(markers, id, at, grid, this.axis.duration),
    );
  }

  /** One step of the snapping earlier or later; with `far` one bar. */
  step(id: string, by: 1 | -1, far: boolean): void {
    const marker = this.markers.find((m) => m.id === id);
    const { grid } = this.edits;
    if (!marker || !grid) return;
    const beats = far ? grid.beatsPerBar : SNAP_STEPS[this.snap];
    const onGrid = beats !== undefined && grid.segments.length > 0;
    const to = onGrid
      ? timeOfBeat(grid, beatAtTime(grid, marker.time) + by * beats)
      : marker.time + by * FREE_STEP * (far ? 10 : 1);
    if (to < 0 || to > this.axis.duration) return;
    this.edits.editMarkers(words.did.moved(nameOf(marker), place(to)), (markers) =>
      lists.moveTo(markers, id, to, grid, this.axis.duration),
    );
  }

  /** Exactly to `time`, without snapping. */
  moveExactly(id: string, time: number): void {
    const marker = this.markers.find((m) => m.id === id);
    const { grid } = this.edits;
    if (!marker || !grid) return;
    this.edits.editMarkers(words.did.moved(nameOf(marker), place(time)), (markers) =>
      lists.moveTo(markers, id, time, grid, this.axis.duration),
    );
  }

  /** Moves the picked markers, or all where none is picked, by beats. */
  shift(beats: number): void {
    const { grid } = this.edits;
    const ids = this.picked.size ? this.picked : new Set(this.markers.map((m) => m.id));
    if (!ids.size) return this.edits.refuse(words.nothingPicked);
    if (!grid) return;
    this.edits.editMarkers(words.did.shifted(ids.size, beats), (markers) =>
      lists.shiftByBeats(markers, ids, beats, grid, this.axis.duration),
    );
  }

  change(id: string, change: lists.MarkerChange): boolean {
    const marker = this.markers.find((m) => m.id === id);
    if (!marker) return false;
    const what = change.name === undefined ? words.did.changed(nameOf(marker)) : words.did.named(change.name);
    return this.edits.editMarkers(what, (markers) => lists.changeMarkers(markers, new Set([id]), change));
  }

  takeSlot(id: string, slot: number | null): void {
    const marker = this.markers.find((m) => m.id === id);
    if (!marker) return;
    const name = marker.name || words.kinds.cue;
    this.edits.editMarkers(words.did.slot(name, slot), (markers) => lists.takeSlot(markers, id, slot));
  }

  setLength(id: string, beats: number): void {
    const marker = this.markers.find((m) => m.id === id);
    const { grid } = this.edits;
    if (!marker || !grid) return;
    this.edits.editMarkers(words.did.length(nameOf(marker), beatsText(beats)), (markers) =>
      lists.setLoopLength(markers, id, beats, grid, this.axis.duration),
    );
  }

  remove(ids: ReadonlySet<string>): void {
    if (!ids.size) return;
    this.edits.editMarkers(words.did.removed(ids.size), (markers) => lists.removeMarkers(markers, ids));
    this.picked = new Set([...this.picked].filter((id) => !ids.has(id)));
    if (this.current !== null && ids.has(this.current)) this.follow(null);
  }

  propose(): void {
    const { grid, sections } = this.edits;
    if (!grid) return;
    if (!sections.length) return this.edits.refuse(words.noSections);
    const { added } = proposeMarkers(this.markers, sections, grid);
    if (!added) return this.edits.refuse(words.proposedNone);
    this.edits.editMarkers(words.did.proposed(added), (list) => proposeMarkers(list, sections, grid).markers);
  }

  /** Copies another track's scheme here. @returns what was left out, or null when it could not be done */
  copy(title: string, from: SchemeTrack, how: 'add' | 'replace'): CopiedScheme | null {
    const { grid, sections, markers } = this.edits;
    if (!grid) return null;
    const to = { grid, sections, markers, duration: this.axis.duration };
    try {
      const copied = copyScheme(from, to, how);
      const done = this.edits.editMarkers(words.did.copied(copied.copied, title), () => copied.markers);
      return done ? copied : null;
    } catch (error) {
      if (!(error instanceof MarkerFault)) throw error;
      this.edits.refuse(error.message);
      return null;
    }
  }

  /** Puts markers that were read from a file in the place of, or beside, those here. */
  take(what: string, markers: readonly Marker[], how: 'add' | 'replace'): boolean {
    return this.edits.editMarkers(what, (now) =>
      how === 'replace' ? [...markers] : joinMarkers(now, markers),
    );
  }

  assignSlots(slots: ReadonlyMap<string, number | null>): boolean {
    return this.edits.editMarkers(words.did.planned(slots.size), (markers) =>
      lists.assignSlots(markers, slots),
    );
  }

  /** Carries out a remedy. @returns whether it was one that can be carried out on the markers */
  remedy(markerId: string | null, remedy: Remedy): boolean {
    switch (remedy.action) {
      case 'take-slot':
        if (markerId) this.takeSlot(markerId, remedy.slot);
        return true;
      case 'move-to':
        if (markerId) this.moveExactly(markerId, remedy.time);
        return true;
      case 'set-length':
        if (markerId) this.setLength(markerId, remedy.beats);
        return true;
      case 'add-mark':
      case 'add-cue': {
        const { time, name } = remedy;
        const cue = remedy.action === 'add-cue';
        this.edits.editMarkers(cue ? words.did.cue(place(time)) : words.did.mark(place(time)), (markers) =>
          lists.addMarker(
            markers,
            cue
              ? ({ ...this.#fresh('cue', time), name, slot: remedy.slot } as lists.NewMarker)
              : { kind: 'mark', time, name, importance: 2 },
          ),
        );
        return true;
      }
      default:
        return false;
    }
  }

  /** “17.1”: bar and beat of the beat at or before `time`; '' without a grid. */
  barBeat(time: number): string {
    const { grid } = this.edits;
    if (!grid?.segments.length) return '';
    const { bar, beat } = barAndBeat(grid, Math.floor(beatAtTime(grid, time) + 1e-3));
    return words.barBeat(bar, beat);
  }

  /** Adds a marker and follows it. */
  #add(what: string, make: () => lists.NewMarker): void {
    let id: string | null = null;
    const done = this.edits.editMarkers(what, (markers) => {
      const next = lists.addMarker(markers, make());
      id = next.find((m) => !markers.some((old) => old.id === m.id))?.id ?? null;
      return next;
    });
    if (done) this.follow(id);
  }

  #fresh(kind: MarkerKind, time: number): lists.NewMarker {
    const importance = 2;
    if (kind === 'mark') return { kind, time, name: '', importance };
    if (kind === 'cue') {
      const slot = freeSlot(this.markers);
      const colour = CUE_COLOURS[((slot ?? 1) - 1) % CUE_COLOURS.length].value;
      return { kind, time, name: '', importance, slot, colour };
    }
    const { grid } = this.edits;
    const endTime = grid && lists.loopEnd(grid, time, this.loopBeats, this.axis.duration);
    if (!grid?.segments.length)
      throw new MarkerFault('This track has no grid, so a loop has no length in beats.');
    if (!endTime) throw new MarkerFault(words.noRoom);
    return { kind, time, name: '', importance, endTime, beats: this.loopBeats };
  }
}
