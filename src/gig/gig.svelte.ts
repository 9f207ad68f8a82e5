/* eslint svelte/prefer-svelte-reactivity: off -- maps and sets here are replaced whole, or not shown */
/** Booths and sets, the set that is worked on, and its check. */
import { decksOf } from '../../shared/gig/check/decks.ts';
import type { Finding, FindingDetail, GigRemedy } from '../../shared/gig/check/finding.ts';
import { matchEntries, matchSentence } from '../../shared/gig/playlist/match.ts';
import { readPlaylist } from '../../shared/gig/playlist/read.ts';
import * as edits from '../../shared/gig/set.ts';
import { type Booth, GigFault, type GigSet, MAX_GIG_NAME, type SetEntry } from '../../shared/gig/types.ts';
import { MarkerFault } from '../../shared/markers/marker.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import type { GigStore } from '../library/gigs.ts';
import { createSaver } from '../library/saver.ts';
import type { Change } from '../library/tools.ts';
import { GigCheck } from './check.svelte.ts';
import { mended, withoutMoves } from './remedies.ts';
import { findable, mendTrack, setTrackOf, type TrackShelf } from './tracks.ts';
import { words } from './words.ts';

/** What of the library is needed here. */
export interface GigShelf extends TrackShelf {
  readonly gigs: GigStore;
  readonly waiting: Set<() => Promise<void>>;
  /** Called when another tab changed something. */
  readonly elsewhere: Set<(change: Change) => void>;
  flush(): Promise<void>;
}

const newId = () => crypto.randomUUID();

/** An edit is undone; what was deleted from a list is brought back. */
interface TakeBack {
  by: 'undo' | 'bringBack';
  go: () => void | Promise<void>;
}

export class GigState {
  ready = $state(false);
  sets = $state.raw<readonly GigSet[]>([]);
  booths = $state.raw<readonly Booth[]>([]);
  setId = $state<string | null>(null);
  boothId = $state<string | null>(null);
  /** What was done last, or why it could not be. */
  sentence = $state('');
  /** Takes back what the sentence tells; null where that is not offered. */
  takeBack = $state.raw<TakeBack | null>(null);
  readonly check = new GigCheck();

  readonly set = $derived(this.sets.find(({ id }) => id === this.setId) ?? null);
  readonly booth = $derived(this.booths.find(({ id }) => id === this.boothId) ?? null);

  readonly #shelf: GigShelf;
  readonly #profiles: () => readonly DeckProfile[];
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
    this.#shelf.elsewhere.add(this.#changedElsewhere);
  }

  dispose(): void {
    this.check.outdate();
    void this.#flush();
    this.#shelf.waiting.delete(this.#flush);
    this.#shelf.elsewhere.delete(this.#changedElsewhere);
  }

  /** Shows what another tab made of booths and sets, so that a change here is made upon it. */
  readonly #changedElsewhere = async ({ kind }: Change): Promise<void> => {
    if (kind !== 'gigs' || !this.ready) return;
    await this.#flush();
    const { booths, sets } = await this.#shelf.gigs.load();
    if (this.#saver.pending.size) return; // changed here meanwhile
    this.booths = booths;
    this.sets = sets;
    if (!this.set) this.setId = sets[0]?.id ?? null;
    if (!this.booth) this.boothId = booths[0]?.id ?? null;
    this.check.outdate();
  };

  async load(): Promise<void> {
    // Corrections and markers that were made a moment ago may not be on the disk yet.
    await this.#shelf.flush();
    const { booths, sets } = await this.#shelf.gigs.load();
    this.booths = booths;
    this.sets = sets;
    this.setId = sets[0]?.id ?? null;
    this.boothId = this.set?.boothId ?? booths[0]?.id ?? null;
    this.ready = true;
  }

  chooseSet(id: string | null): void {
    this.setId = id;
    if (this.set?.boothId) this.boothId = this.set.boothId;
    this.check.clear();
    this.#tell('');
  }

  chooseBooth(id: string): void {
    this.boothId = id;
    if (this.set) this.#keepSet({ ...this.set, boothId: id });
    this.check.clear();
    this.#tell('');
  }

  addSet(): void {
    this.#takeSet({ ...edits.newSet(newId(), words.newSet(this.sets.length + 1)), boothId: this.boothId });
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
    this.chooseSet(this.sets[0]?.id ?? null);
    this.#tell(words.removedSet(set.name), () => this.#takeSet(set), 'bringBack');
    await this.#flush();
    if (!this.sets.some(({ id }) => id === set.id)) await this.#shelf.gigs.deleteSet(set.id);
  }

  async removeBooth(): Promise<void> {
    const { booth } = this;
    if (!booth) return;
    this.booths = this.booths.filter(({ id }) => id !== booth.id);
    this.boothId = this.booths[0]?.id ?? null;
    this.check.clear();
    const back = () => {
      this.#keepBooth(booth);
      this.chooseBooth(booth.id);
    };
    this.#tell(words.removedBooth(booth.name), back, 'bringBack');
    await this.#flush();
    if (!this.booths.some(({ id }) => id === booth.id)) await this.#shelf.gigs.deleteBooth(booth.id);
  }

  changeBooth(change: Partial<Booth>): void {
    if (this.booth) this.#keepBooth({ ...this.booth, ...change });
  }

  renameSet(name: string): void {
    if (this.set && name.trim()) this.#keepSet({ ...this.set, name: name.trim().slice(0, MAX_GIG_NAME) });
  }

  /** Whether an entry's track is in the library. */
  has({ trackId }: SetEntry): boolean {
    return trackId !== null && this.#shelf.tracks.some(({ id }) => id === trackId);
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
    const { set } = this;
    const entry = set?.entries.find((each) => each.id === id);
    if (!set || !entry) return;
    const at = set.entries.indexOf(entry);
    this.#edit((now) => edits.removeEntry(now, id));
    const back = () => this.#edit((now) => edits.insertEntries(now, [entry], at));
    this.#tell(words.removedEntry(entry.title || entry.fileName), back, 'bringBack');
  }

  change(id: string, change: Partial<Omit<SetEntry, 'id'>>): void {
    this.#edit((set) => edits.changeEntry(set, id, change));
  }

  /** Says why something that was typed was not taken, or what became of a wish. */
  say(sentence: string): void {
    this.#tell(sentence);
  }

  /** The title that the copy on the drive is to have; empty: the track's own. */
  rename(id: string, name: string): void {
    const entry = this.set?.entries.find((each) => each.id === id);
    if (!entry || (entry.nameOnDrive ?? '') === name) return;
    const before = entry.nameOnDrive;
    this.change(id, { nameOnDrive: name || undefined });
    this.#tell(name ? words.renamed(name) : words.ownName, () => this.change(id, { nameOnDrive: before }));
  }

  /** A set from a playlist, with what was found in the library. */
  async readList(file: File): Promise<void> {
    try {
      const list = readPlaylist(new Uint8Array(await file.arrayBuffer()), file.name);
      const matched = matchEntries(list.entries, this.#shelf.tracks.map(findable), newId);
      const name = list.name || file.name.replace(/\.[^.]+$/, '');
      this.#takeSet({
        ...edits.newSet(newId(), name.slice(0, MAX_GIG_NAME)),
        boothId: this.boothId,
        entries: matched.entries,
      });
      this.#tell([matchSentence(matched), ...list.notes].join(' '));
    } catch (error) {
      if (!(error instanceof Error)) throw error;
      this.#tell(error.message);
    }
  }

  /** Looks for the tracks that were not in the library: their files may have been added since. */
  matchAgain(): void {
    const lost = this.set?.entries.filter((entry) => !this.has(entry)) ?? [];
    const list = lost.map(({ fileName, ...entry }) => ({ ...entry, path: fileName, seconds: null }));
    const matched = matchEntries(list, this.#shelf.tracks.map(findable), newId);
    const found = new Map(
      lost.flatMap((entry, i) => {
        const { trackId, title, artist } = matched.entries[i];
        return trackId === null ? [] : [[entry.id, { ...entry, trackId, title, artist }]];
      }),
    );
    if (found.size) {
      this.#edit((set) => ({
        ...set,
        entries: set.entries.map((entry) => found.get(entry.id) ?? entry),
      }));
    }
    this.#tell(matchSentence(matched));
  }

  /** Checks the set against the booth, a track at a time, so that a long set is never in memory at once. */
  async runCheck(): Promise<void> {
    const { set, booth } = this;
    if (!set || !booth) return;
    await this.check.make(set, booth, this.#profiles(), (id) => setTrackOf(this.#shelf, id));
  }

  /** Takes the moves that a finding is about out of the plan. */
  dropMoves(finding: Finding): void {
    const { set } = this;
    if (!set) return;
    const before = new Map(set.entries.map(({ id, moves }) => [id, moves]));
    const ids = new Set(finding.entryIds);
    let dropped = 0;
    this.#edit((now) => ({
      ...now,
      entries: now.entries.map((entry) => {
        if (!ids.has(entry.id)) return entry;
        const moves = withoutMoves(entry, finding);
        dropped += entry.moves.length - moves.length;
        return { ...entry, moves };
      }),
    }));
    this.#tell(words.droppedMoves(dropped), () =>
      this.#edit((now) => ({
        ...now,
        entries: now.entries.map((entry) =>
          ids.has(entry.id) ? { ...entry, moves: before.get(entry.id) ?? entry.moves } : entry,
        ),
      })),
    );
  }

  /**
   * Carries out a remedy on the markers of the tracks that it is for.
   * @param what the remedy in words
   * @param details the places that it is for
   */
  async mend(what: string, remedy: GigRemedy, details: readonly FindingDetail[]): Promise<void> {
    const { set, booth } = this;
    if (!set || !booth) return;
    const decks = decksOf(booth, this.#profiles()).profiles;
    const trackOf = new Map(set.entries.map(({ id, trackId }) => [id, trackId]));
    const byTrack = new Map<string, FindingDetail[]>();
    for (const detail of details) {
      const trackId = trackOf.get(detail.entryId);
      if (trackId) byTrack.set(trackId, [...(byTrack.get(trackId) ?? []), detail]);
    }
    const undos: { id: string; undo: () => Promise<void> }[] = [];
    const refusals: string[] = [];
    for (const [id, here] of byTrack) {
      try {
        const undo = await mendTrack(this.#shelf, id, what, (track) => mended(track, remedy, here, decks));
        if (undo) undos.push({ id, undo });
      } catch (error) {
        if (!(error instanceof MarkerFault)) throw error;
        refusals.push(error.message);
      }
    }
    for (const { id } of undos) this.check.forget(id);
    const told = undos.length ? words.mended(what, undos.length) : words.mendedNothing;
    this.#tell(
      [told, ...new Set(refusals)].join(' '),
      undos.length
        ? async () => {
            for (const { id, undo } of undos) {
              await undo();
              this.check.forget(id);
            }
          }
        : null,
    );
  }

  async undo(): Promise<void> {
    const { takeBack } = this;
    if (!takeBack) return;
    this.takeBack = null;
    await takeBack.go();
    // What was deleted a moment ago is on the disk again before that is said.
    await this.#flush();
    this.#tell(words.back[takeBack.by].done);
  }

  #tell(sentence: string, go: TakeBack['go'] | null = null, by: TakeBack['by'] = 'undo'): void {
    this.sentence = sentence;
    this.takeBack = go && { by, go };
  }

  #edit(make: (set: GigSet) => GigSet): void {
    if (!this.set) return;
    try {
      this.#keepSet(make(this.set));
      this.#tell('');
    } catch (error) {
      if (!(error instanceof GigFault)) throw error;
      this.#tell(error.message);
    }
  }

  #takeSet(set: GigSet): void {
    this.#keepSet(set);
    this.chooseSet(set.id);
  }

  #keepSet(set: GigSet): void {
    const known = this.sets.some(({ id }) => id === set.id);
    this.sets = known ? this.sets.map((each) => (each.id === set.id ? set : each)) : [...this.sets, set];
    this.#saver.set(`set ${set.id}`, { set });
    this.check.outdate();
  }

  #keepBooth(booth: Booth): void {
    const known = this.booths.some(({ id }) => id === booth.id);
    this.booths = known
      ? this.booths.map((each) => (each.id === booth.id ? booth : each))
      : [...this.booths, booth];
    this.#saver.set(`booth ${booth.id}`, { booth });
    this.check.outdate();
  }
}
