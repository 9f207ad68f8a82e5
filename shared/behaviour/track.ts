/** As much of a track as a deck's behaviour needs. Plain data. */
import type { BeatGrid } from '../grid/grid.ts';
import { cuesOf, type Marker } from '../markers/marker.ts';

export interface StoredCue {
  /** from 1 */
  slot: number;
  /** s */
  time: number;
  name: string;
}

export interface DeckTrack {
  id: string;
  name: string;
  /** s */
  duration: number;
  grid: BeatGrid;
  /** Hot cues that are stored with the track, each slot once. */
  cues: StoredCue[];
  /** Stored points and tags: what some decks read slowly. */
  metadataItems: number;
}

/** A deck's track from what is known of it; cues without a slot are not on any button. */
export function deckTrack(
  about: { id: string; name: string; grid: BeatGrid; duration: number; tags?: number },
  markers: readonly Marker[],
): DeckTrack {
  const { id, name, grid, duration, tags = 0 } = about;
  const cues = cuesOf(markers).flatMap(({ slot, time, name }) => (slot ? [{ slot, time, name }] : []));
  return { id, name, grid, duration, cues, metadataItems: markers.length + tags };
}
