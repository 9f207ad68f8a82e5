/* eslint svelte/prefer-svelte-reactivity: off -- sets and maps here are replaced whole or not shown at all */
/** Removed tracks that can still be brought back. Nothing is deleted before the undo has lapsed. */
import type { Disk } from './disk.ts';
import { type TrackRecord, titleOf } from './records.ts';
import { markRemoved, purgeRemoved, restoreTracks } from './tracks.ts';

/** How long a removal can be undone, ms. */
export const UNDO_MS = 20_000;

export interface Removal {
  /** Milliseconds since 1970 of the removal; names it. */
  at: number;
  tracks: readonly TrackRecord[];
}

export class RemovalsState {
  /** Newest first. */
  list = $state.raw<readonly Removal[]>([]);

  readonly #disk: Disk;
  readonly #gone: (ids: string[]) => void;
  readonly #timers = new Map<number, ReturnType<typeof setTimeout>>();

  /** @param gone called with the ids of tracks that were deleted for good */
  constructor(disk: Disk, gone: (ids: string[]) => void) {
    this.#disk = disk;
    this.#gone = gone;
  }

  /** Takes up the removals that an earlier visit left; those whose time is over are carried out. */
  async load(removed: readonly TrackRecord[]): Promise<void> {
    const moments = [...new Set(removed.map((t) => t.removedAt!))].sort((a, b) => a - b);
    for (const at of moments) this.#offer({ at, tracks: removed.filter((t) => t.removedAt === at) });
    await this.#purge(Date.now() - UNDO_MS);
  }

  async remove(tracks: readonly TrackRecord[]): Promise<Removal> {
    // Two removals within one millisecond stay two.
    const at = Math.max(Date.now(), (this.list[0]?.at ?? 0) + 1);
    const removal = { at, tracks };
    this.#offer(removal);
    await this.#disk.write(`The removal of ${names(tracks)}`, (db) => markRemoved(db, ids(tracks), at));
    return removal;
  }

  /** @returns the tracks that are back; empty when the undo had lapsed */
  async undo(at: number): Promise<readonly TrackRecord[]> {
    const removal = this.list.find((r) => r.at === at);
    if (!removal) return [];
    this.#withdraw(at);
    await this.#disk.write(`The return of ${names(removal.tracks)}`, (db) =>
      restoreTracks(db, ids(removal.tracks)),
    );
    return removal.tracks.map((track) => ({ ...track, removedAt: null }));
  }

  /** A removed track was given again: it is no longer removed. @returns it, or null */
  async rescue(id: string): Promise<TrackRecord | null> {
    const removal = this.list.find((r) => r.tracks.some((t) => t.id === id));
    const track = removal?.tracks.find((t) => t.id === id);
    if (!removal || !track) return null;
    const rest = removal.tracks.filter((t) => t !== track);
    if (rest.length) this.list = this.list.map((r) => (r === removal ? { ...r, tracks: rest } : r));
    else this.#withdraw(removal.at);
    await this.#disk.write(`The return of ${names([track])}`, (db) => restoreTracks(db, [id]));
    return { ...track, removedAt: null };
  }

  dispose(): void {
    this.#timers.forEach((timer) => clearTimeout(timer));
    this.#timers.clear();
  }

  #offer(removal: Removal): void {
    this.list = [removal, ...this.list];
    const left = Math.min(UNDO_MS, Math.max(0, removal.at + UNDO_MS - Date.now()));
    this.#timers.set(
      removal.at,
      setTimeout(() => void this.#purge(removal.at), left),
    );
  }

  #withdraw(at: number): void {
    clearTimeout(this.#timers.get(at));
    this.#timers.delete(at);
    this.list = this.list.filter((r) => r.at !== at);
  }

  /** Carries out every removal made at or before `until`. */
  async #purge(until: number): Promise<void> {
    const lapsed = this.list.filter((r) => r.at <= until);
    lapsed.forEach((r) => this.#withdraw(r.at));
    const deleted = await this.#disk.write('The removal', (db) => purgeRemoved(db, until));
    this.#gone([...new Set([...lapsed.flatMap((r) => ids(r.tracks)), ...(deleted ?? [])])]);
  }
}

function ids(tracks: readonly TrackRecord[]): string[] {
  return tracks.map((t) => t.id);
}

function names(tracks: readonly TrackRecord[]): string {
  return tracks.length === 1 ? `“${titleOf(tracks[0])}”` : `${tracks.length} tracks`;
}
