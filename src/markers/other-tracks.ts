/** Other tracks whose markers can be copied. */
import type { SchemeTrack } from '../../shared/markers/scheme.ts';
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { corrected } from '../library/corrected.ts';
import type { EditRecord, TrackRecord } from '../library/records.ts';
import { titleOf } from '../library/records.ts';

/** What of the library is needed here. */
export interface TrackShelf {
  readonly tracks: readonly TrackRecord[];
  editOf(id: string): Promise<EditRecord | null>;
  analysisOf(id: string): Promise<TrackAnalysis | null>;
}

export interface MarkedTrack {
  id: string;
  title: string;
  markers: number;
}

/** Every track but `except` that has markers, in the order of the list. */
export async function markedTracks(shelf: TrackShelf, except: string | null): Promise<MarkedTrack[]> {
  const found = await Promise.all(
    shelf.tracks
      .filter((track) => track.id !== except)
      .map(async (track) => ({
        id: track.id,
        title: titleOf(track),
        markers: (await shelf.editOf(track.id))?.markers?.length ?? 0,
      })),
  );
  return found.filter((track) => track.markers > 0);
}

/** Markers, corrected grid and sections of a track; null when its analysis must be made again. */
export async function schemeOf(shelf: TrackShelf, id: string): Promise<SchemeTrack | null> {
  const [edit, analysis] = await Promise.all([shelf.editOf(id), shelf.analysisOf(id)]);
  if (!analysis) return null;
  return {
    markers: edit?.markers ?? [],
    ...corrected(analysis, edit),
    duration: analysis.duration,
  };
}
