/** Tracks and what hangs on them: every change that belongs together is one transaction. */
import { ANALYSIS_VERSION, type TrackAnalysis } from '../../shared/analysis.ts';
import { analysisFromParts, analysisParts } from '../../shared/analysis-codec.ts';
import { eventTurn } from '../../workers/turn.ts';
import type { AnalysisRecord, EditRecord, TrackRecord } from './records.ts';
import { joinedEdits } from './edit-join.ts';
import { type LibraryDb, TRACK_STORES } from './schema.ts';
import { type Writing, writing } from './transaction.ts';

/** From this length on, s, an analysis is more than 10 MB: its arrays are stored as a file, its worker is replaced. */
export const LONG_SECONDS = 1200;

/** Bytes that are copied in one turn. */
const PIECE_BYTES = 4 << 20;

export interface TrackToSave {
  /** `order`, `addedAt` and what the person did to it are kept when the track is in the library already. */
  track: TrackRecord;
  analysis: TrackAnalysis;
  cover: Blob | null;
  now: number;
}

/**
 * Puts a track with its analysis and cover into the library, or renews them. A new track goes to the end of
 * the list; a track whose removal could still be undone comes back.
 * @returns the record as stored
 */
export async function saveTrack(
  db: LibraryDb,
  { track, analysis, cover, now }: TrackToSave,
): Promise<TrackRecord> {
  const record = await analysisRecord(track.id, analysis, now);
  return writing(db, ['tracks', 'analyses', 'covers'], async (transaction) => {
    const tracks = transaction.objectStore('tracks');
    const before = await tracks.get(track.id);
    const stored: TrackRecord = before
      ? {
          ...track,
          name: before.name,
          addedAt: before.addedAt,
          order: before.order,
          demo: before.demo ?? track.demo,
          secondOpinion: track.secondOpinion ?? before.secondOpinion,
          removedAt: null,
        }
      : { ...track, order: nextOrder(await tracks.getAll()), removedAt: null };
    await tracks.put(stored);
    await transaction.objectStore('analyses').put(record);
    if (cover) await transaction.objectStore('covers').put({ id: track.id, cover });
    return stored;
  });
}

/**
 * A track's analysis as it is stored. What goes into a file is copied there and then: a long track's arrays go in
 * pieces, so that the page gets its turns.
 */
export async function analysisRecord(
  id: string,
  analysis: TrackAnalysis,
  analysedAt: number,
): Promise<AnalysisRecord> {
  const { version, duration } = analysis;
  if (duration < LONG_SECONDS) return { id, version, analysis, analysedAt };
  const { json, floats } = analysisParts(analysis);
  const pieces: Blob[] = [];
  for (const bytes of floats) {
    for (let from = 0; from < bytes.length; from += PIECE_BYTES) {
      pieces.push(new Blob([bytes.subarray(from, from + PIECE_BYTES)]));
      await eventTurn();
    }
  }
  return { id, version, analysis: { json, floats: new Blob(pieces) }, analysedAt };
}

/** The place after the last one. */
export function nextOrder(tracks: readonly Pick<TrackRecord, 'order'>[]): number {
  return tracks.reduce((last, t) => Math.max(last, t.order), -1) + 1;
}

/** A total order: two tabs may have given the same place. */
export function inOrder<T extends Pick<TrackRecord, 'order' | 'addedAt' | 'id'>>(tracks: readonly T[]): T[] {
  return [...tracks].sort(
    (a, b) => a.order - b.order || a.addedAt - b.addedAt || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0),
  );
}

export interface TrackList {
  /** In order, those with a pending removal included. */
  tracks: TrackRecord[];
  /** Tracks whose analysis is missing or was written by another ANALYSIS_VERSION. */
  outdated: Set<string>;
}

/** Reads the list without touching the analyses themselves. */
export async function listTracks(db: LibraryDb): Promise<TrackList> {
  const transaction = db.transaction(['tracks', 'analyses']);
  const [tracks, current] = await Promise.all([
    transaction.objectStore('tracks').getAll(),
    transaction.objectStore('analyses').index('version').getAllKeys(ANALYSIS_VERSION),
    transaction.done,
  ]);
  const known = new Set(current);
  return {
    tracks: inOrder(tracks),
    outdated: new Set(tracks.filter((t) => !known.has(t.id)).map((t) => t.id)),
  };
}

export type AnalysisReading =
  | { state: 'current'; analysis: TrackAnalysis }
  /** It is kept, but its shape may be another one: analyse the track again before showing it. */
  | { state: 'outdated'; version: number }
  | { state: 'missing' };

export async function readAnalysis(db: LibraryDb, id: string): Promise<AnalysisReading> {
  const record = await db.get('analyses', id);
  if (!record) return { state: 'missing' };
  if (record.version !== ANALYSIS_VERSION) return { state: 'outdated', version: record.version };
  const { analysis } = record;
  if (!('json' in analysis)) return { state: 'current', analysis };
  const floats = new Uint8Array(await analysis.floats.arrayBuffer());
  return { state: 'current', analysis: analysisFromParts(analysis.json, floats) };
}

export async function readCover(db: LibraryDb, id: string): Promise<Blob | null> {
  return (await db.get('covers', id))?.cover ?? null;
}

/** Changes some tracks in one transaction; ids that are not there are left out. */
export async function changeTracks(
  db: LibraryDb,
  ids: readonly string[],
  change: (track: TrackRecord, index: number) => TrackRecord,
): Promise<void> {
  await writing(db, ['tracks'], async (transaction) => {
    for (const [index, id] of ids.entries()) {
      const track = await transaction.store.get(id);
      if (track) await transaction.store.put(change(track, index));
    }
  });
}

/** Puts the listed tracks in this order. */
export function orderTracks(db: LibraryDb, ids: readonly string[]): Promise<void> {
  return changeTracks(db, ids, (track, order) => ({ ...track, order }));
}

/** Takes tracks out of the list; everything that hangs on them stays until `purgeRemoved`. */
export function markRemoved(db: LibraryDb, ids: readonly string[], at: number): Promise<void> {
  return changeTracks(db, ids, (track) => ({ ...track, removedAt: at }));
}

export function restoreTracks(db: LibraryDb, ids: readonly string[]): Promise<void> {
  return changeTracks(db, ids, (track) => ({ ...track, removedAt: null }));
}

/**
 * Deletes for good what was removed at or before `until`, with all that hangs on it, in one transaction.
 * @returns ids of the tracks that are gone
 */
export async function purgeRemoved(db: LibraryDb, until: number): Promise<string[]> {
  return writing(db, TRACK_STORES, async (transaction) => {
    const tracks = await transaction.objectStore('tracks').getAll();
    const gone = tracks.filter((t) => t.removedAt !== null && t.removedAt <= until).map((t) => t.id);
    await deleteAll(transaction, gone);
    return gone;
  });
}

/** Deletes tracks at once, with all that hangs on them, in one transaction. */
export async function deleteTracks(db: LibraryDb, ids: readonly string[]): Promise<void> {
  await writing(db, TRACK_STORES, (transaction) => deleteAll(transaction, ids));
}

async function deleteAll(transaction: Writing<typeof TRACK_STORES>, ids: readonly string[]): Promise<void> {
  for (const id of ids) {
    for (const store of TRACK_STORES) await transaction.objectStore(store).delete(id);
  }
}

/** The person's corrections of a track, or null. */
export async function readEdit(db: LibraryDb, id: string): Promise<EditRecord | null> {
  return (await db.get('edits', id)) ?? null;
}

/**
 * Writes corrections. Where another tab has written others since, nothing of either is lost: both are joined.
 * @param base `savedAt` of what they were made upon, null for nothing; left out: they replace whatever is there
 * @returns what was written: `edit` itself, or the join
 */
export async function saveEdit(db: LibraryDb, edit: EditRecord, base?: number | null): Promise<EditRecord> {
  return writing(db, ['edits'], async ({ store }) => {
    // Both requests at once: nothing but the first turn is certain when the page is closing.
    const reading = store.get(edit.id);
    const written = store.put(edit);
    const before = await reading;
    await written;
    if (base === undefined || !before || before.savedAt === base) return edit;
    const joined = joinedEdits(edit, before);
    await store.put(joined);
    return joined;
  });
}

/** Ids of the tracks that carry corrections made by hand. */
export async function editedIds(db: LibraryDb): Promise<Set<string>> {
  return new Set(await db.getAllKeys('edits'));
}
