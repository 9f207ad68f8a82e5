/* eslint svelte/prefer-svelte-reactivity: off -- maps and sets here are replaced whole, or not shown */
/** Booths and sets, the set that is worked on, and its check. */
import { findingsOf, richestOf } from '../../shared/gig/check/findings.ts';
import type { Finding } from '../../shared/gig/check/finding.ts';
import { type Score, scoreOf } from '../../shared/gig/check/score.ts';
import { decksOf } from '../../shared/gig/check/decks.ts';
import { checkTrack, type TrackCheck } from '../../shared/gig/check/track-check.ts';
import { matchEntries, matchSentence } from '../../shared/gig/playlist/match.ts';
import { readPlaylist } from '../../shared/gig/playlist/read.ts';
import * as edits from '../../shared/gig/set.ts';
import { type Booth, GigFault, type GigSet, type SetEntry, type SetTrack } from '../../shared/gig/types.ts';
import type { TrackAnalysis } from '../../shared/analysis.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import type { GigStore } from '../library/gigs.ts';
import { type EditRecord, titleOf, type TrackRecord } from '../library/records.ts';
import { createSaver } from '../library/saver.ts';
import { words } from './words.ts';

/** What of the library is needed here. */
export interface GigShelf {
  readonly tracks: readonly TrackRecord[];
  readonly gigs: GigStore;
  readonly waiting: Set<() => Promise<void>>;
  analysisOf(id: string): Promise<TrackAnalysis | null>;
  editOf(id: string): Promise<EditRecord | null>;
}

export interface Readiness {
  findings: Finding[];
  score: Score;
  /** With the pictures taken off where the set is long. */
  tracks: SetTrack[];
}

const newId = () => crypto.randomUUID();

export class GigState {
  ready = $state(false);
  sets = $state.raw<readonly GigSet[]>([]);
  booths = $state.raw<readonly Booth[]>([]);
  setId = $state<string | null>(null);
  boothId = $state<string | null>(null);
  sentence = $state('');
  /** The last check; null after a change. */
  readiness = $state.raw<Readiness | null>(null);
  /** Share of the check that is done, 0..1; null while none runs. */
  checking = $state<number | null>(null);

  readonly set = $derived(this.sets.find(({ id }) => id === this.setId) ?? null);
  readonly booth = $derived(this.booths.find(({ id }) => id === this.boothId) ?? null);

  readonly #shelf: GigShelf;
  readonly #profiles: () => readonly DeckProfile[];
  #run = 0;
  readonly #saver = createSaver<{ set: GigSet } | { booth: Booth }>({
    write: async (batch) => {
      await Promise.all(
        [...batch.values()].map((each) =>
          'set' in each ? this.#shelf.gigs.saveSet(each.set) : this.#shelf.gigs.saveBooth(each.booth),
        ),
      );
    },
  });
  readonly #flush = () => this.#saver.flush();

  constructor(parts: { shelf: GigShelf; profiles: () => readonly DeckProfile[] }) {
    this.#shelf = parts.shelf;
    this.#profiles = parts.profiles;
    this.#shelf.waiting.add(this.#flush);
  }

  dispose(): void {
    this.cancel();
    void this.#flush();
    this.#shelf.waiting.delete(this.#flush);
  }

  async load(): Promise<void> {
    const { booths, sets } = await this.#shelf.gigs.load();
    this.booths = booths;
    this.sets = sets;
    this.setId = sets[0]?.id ?? null;
    this.boothId = this.set?.boothId ?? booths[0]?.id ?? null;
    this.ready = true;
  }

  chooseSet(id: string): void {
    this.setId = id;
    if (this.set?.boothId) this.boothId = this.set.boothId;
    this.#changed();
  }

  chooseBooth(id: string): void {
    this.boothId = id;
    if (this.set) this.#keepSet({ ...this.set, boothId: id });
    this.#changed();
  }

  addSet(): void {
    const set = { ...edits.newSet(newId(), words.newSet(this.sets.length + 1)), boothId: this.boothId };
    this.#keepSet(set);
    this.setId = set.id;
  }

  /** A booth of two of the poorest deck: the one to be ready for. */
  addBooth(): void {
    const poorest = [...this.#profiles()].sort((a, b) => a.richness - b.richness)[0];
    if (!poorest) return;
    const booth = edits.newBooth(newId(), words.newBooth(this.booths.length + 1), poorest.id);
    this.#keepBooth(booth);
    this.chooseBooth(booth.id);
  }

  async removeSet(): Promise<void> {
    const { set } = this;
    if (!set) return;
    this.sets = this.sets.filter(({ id }) => id !== set.id);
    this.setId = this.sets[0]?.id ?? null;
    await this.#flush();
    await this.#shelf.gigs.deleteSet(set.id);
  }

  async removeBooth(): Promise<void> {
    const { booth } = this;
    if (!booth) return;
    this.booths = this.booths.filter(({ id }) => id !== booth.id);
    this.boothId = this.booths[0]?.id ?? null;
    await this.#flush();
    await this.#shelf.gigs.deleteBooth(booth.id);
  }

  changeBooth(change: Partial<Booth>): void {
    if (this.booth) this.#keepBooth({ ...this.booth, ...change });
  }

  renameSet(name: string): void {
    if (this.set && name.trim()) this.#keepSet({ ...this.set, name: name.trim().slice(0, 80) });
  }

  /** Puts tracks of the library into the set, at its end or before entry number `at`. */
  addTracks(ids: readonly string[], at = this.set?.entries.length ?? 0): void {
    const entries = ids.flatMap((id) => {
      const track = this.#shelf.tracks.find((each) => each.id === id);
      return track ? [edits.entryOf(findable(track), newId())] : [];
    });
    this.#edit((set) => edits.insertEntries(set, entries, at));
  }

  move(id: string, to: number): void {
    this.#edit((set) => edits.moveEntry(set, id, to));
  }

  remove(id: string): void {
    this.#edit((set) => edits.removeEntry(set, id));
  }

  change(id: string, change: Partial<Omit<SetEntry, 'id'>>): void {
    this.#edit((set) => edits.changeEntry(set, id, change));
  }

  /** A set from a playlist, with what was found in the library. */
  async readList(file: File): Promise<void> {
    try {
      const list = readPlaylist(new Uint8Array(await file.arrayBuffer()), file.name);
      const matched = matchEntries(list.entries, this.#shelf.tracks.map(findable), newId);
      const name = list.name || file.name.replace(/\.[^.]+$/, '');
      const set: GigSet = {
        ...edits.newSet(newId(), name.slice(0, 80)),
        boothId: this.boothId,
        entries: matched.entries,
      };
      this.#keepSet(set);
      this.setId = set.id;
      this.sentence = [matchSentence(matched), ...list.notes].join(' ');
    } catch (error) {
      if (!(error instanceof Error)) throw error;
      this.sentence = error.message;
    }
  }

  /** Checks the set against the booth, a track at a time, so that a long set is never in memory at once. */
  async check(): Promise<void> {
    const { set, booth } = this;
    if (!set || !booth) return;
    const run = ++this.#run;
    this.checking = 0;
    this.sentence = '';
    const profiles = this.#profiles();
    const here = decksOf(booth, profiles).profiles;
    const richest = richestOf(profiles);
    const ids = [...new Set(set.entries.flatMap(({ trackId }) => trackId ?? []))];
    const checks = new Map<string, TrackCheck>();
    const tracks: SetTrack[] = [];
    for (const [i, id] of ids.entries()) {
      const track = await this.trackOf(id);
      if (run !== this.#run) return;
      if (track && richest) {
        const entries = set.entries.filter((entry) => entry.trackId === id);
        checks.set(id, checkTrack(track, entries, here, richest));
        tracks.push(track);
      }
      this.checking = (i + 1) / ids.length;
    }
    this.readiness = {
      findings: findingsOf(set, checks, booth, profiles),
      score: scoreOf(set, checks, booth, profiles),
      tracks,
    };
    this.checking = null;
  }

  cancel(): void {
    this.#run++;
    this.checking = null;
  }

  /** A track of the library with the person's corrections and markers, or null when it must be analysed again. */
  async trackOf(id: string): Promise<SetTrack | null> {
    const track = this.#shelf.tracks.find((each) => each.id === id);
    if (!track) return null;
    const [analysis, edit] = await Promise.all([this.#shelf.analysisOf(id), this.#shelf.editOf(id)]);
    if (!analysis) return null;
    return {
      ...findable(track),
      tags: track.tags,
      source: analysis.source,
      partial: analysis.partial,
      silent: analysis.silent,
      grid: edit?.grid ?? analysis.grid,
      gridByHand: Boolean(edit?.grid),
      sections: edit?.sections ?? analysis.sections,
      markers: edit?.markers ?? [],
      key: analysis.key,
      pyramid: analysis.pyramid,
      metadataBytes: null,
    };
  }

  #edit(make: (set: GigSet) => GigSet): void {
    if (!this.set) return;
    try {
      this.#keepSet(make(this.set));
      this.sentence = '';
    } catch (error) {
      if (!(error instanceof GigFault)) throw error;
      this.sentence = error.message;
    }
  }

  #keepSet(set: GigSet): void {
    const known = this.sets.some(({ id }) => id === set.id);
    this.sets = known ? this.sets.map((each) => (each.id === set.id ? set : each)) : [...this.sets, set];
    this.#saver.set(`set ${set.id}`, { set });
    this.#changed();
  }

  #keepBooth(booth: Booth): void {
    const known = this.booths.some(({ id }) => id === booth.id);
    this.booths = known
      ? this.booths.map((each) => (each.id === booth.id ? booth : each))
      : [...this.booths, booth];
    this.#saver.set(`booth ${booth.id}`, { booth });
    this.#changed();
  }

  #changed(): void {
    this.cancel();
    this.readiness = null;
  }
}

function findable(track: TrackRecord) {
  return {
    id: track.id,
    title: titleOf(track),
    artist: track.tags.artist ?? null,
    fileName: track.name,
    duration: track.duration,
  };
}
