/** Tracks of the library as the gig needs them: read for the check, and their markers changed by its remedies. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import type { SetTrack } from '../../shared/gig/types.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import { corrected } from '../library/corrected.ts';
import { type EditRecord, titleOf, type TrackRecord } from '../library/records.ts';
import * as history from '../mark/history.ts';
import type { MendedTrack } from './remedies.ts';

/** What of the library is needed here. */
export interface TrackShelf {
  readonly tracks: readonly TrackRecord[];
  analysisOf(id: string): Promise<TrackAnalysis | null>;
  coverOf(id: string): Promise<Blob | null>;
  editOf(id: string): Promise<EditRecord | null>;
  saveEdit(id: string, edit: Omit<EditRecord, 'id' | 'savedAt'>): Promise<void>;
}

/** As much of a track as a playlist is matched by. */
export function findable(track: TrackRecord) {
  return {
    id: track.id,
    title: titleOf(track),
    artist: track.tags.artist ?? null,
    fileName: track.name,
    duration: track.duration,
  };
}

/** A track with the person's corrections and markers, or null when it is not there or must be analysed again. */
export async function setTrackOf(shelf: TrackShelf, id: string): Promise<SetTrack | null> {
  const track = shelf.tracks.find((each) => each.id === id);
  if (!track) return null;
  const [analysis, edit, cover] = await Promise.all([
    shelf.analysisOf(id),
    shelf.editOf(id),
    shelf.coverOf(id),
  ]);
  if (!analysis) return null;
  return {
    ...findable(track),
    tags: track.tags,
    source: analysis.source,
    partial: analysis.partial,
    silent: analysis.silent,
    ...corrected(analysis, edit),
    gridByHand: Boolean(edit?.grid),
    markers: edit?.markers ?? [],
    key: analysis.key,
    pyramid: analysis.pyramid,
    metadataBytes: (cover?.size ?? 0) + (track.tags.comment?.length ?? 0),
  };
}

/**
 * Changes a track's markers, as a step of its own history: “Mark” can undo it, too.
 * @param what the edit in words
 * @param make the new markers, or null: nothing to change
 * @returns takes it back, as long as nothing else was changed; null where nothing was changed
 */
export async function mendTrack(
  shelf: TrackShelf,
  id: string,
  what: string,
  make: (track: MendedTrack) => Marker[] | null,
): Promise<(() => Promise<void>) | null> {
  const [analysis, edit] = await Promise.all([shelf.analysisOf(id), shelf.editOf(id)]);
  if (!analysis) return null;
  const kept = history.readHistory(edit);
  const now = history.current(kept);
  const markers = make({
    markers: now.markers ?? [],
    ...corrected(analysis, now),
    duration: analysis.duration,
  });
  if (!markers) return null;
  const save = (next: ReturnType<typeof history.record>) => {
    const { grid, sections, markers = null } = history.current(next);
    return shelf.saveEdit(id, { grid, sections, markers, history: next });
  };
  const done = history.record(kept, { ...now, markers, what });
  await save(done);
  return async () => {
    const then = history.readHistory(await shelf.editOf(id));
    if (then.at === done.at && history.undoes(then) === what) await save(history.undo(then));
  };
}
