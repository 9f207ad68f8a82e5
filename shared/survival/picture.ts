/**
 * The picture of a deck that changes are judged on: its best scrolling waveform at the nearest zoom stop that shows
 * both sides at once (its widest where none does), or its overview where nothing scrolls.
 */
import type { TrackAnalysis } from '../analysis.ts';
import { type Lattice, overviewLattice, scrollingLattice } from '../display/model.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { fullWindows } from './windows.ts';

export type PictureTrack = Pick<TrackAnalysis, 'pyramid' | 'grid' | 'duration'>;

/** Part of a column by which the end of a track may miss that of a column. */
const SLACK = 1e-6;

export interface JudgedPicture extends Lattice {
  /** Columns of the whole track. */
  columns: number;
}

/** Where its columns lie, and what they can show: none of them is made. */
export function judgedPicture(track: PictureTrack, profile: DeckProfile): JudgedPicture {
  const { duration } = track;
  const lattice = scrollingLattice(profile, profile.waveform.kinds[0], judgedStop(track, profile));
  if (lattice) {
    return { ...lattice, columns: Math.max(0, Math.ceil(duration / lattice.secondsPerColumn - SLACK)) };
  }
  const overview = overviewLattice(duration, profile);
  return { ...overview, columns: overview.secondsPerColumn ? profile.overview.columns : 0 };
}

function judgedStop(track: PictureTrack, { waveform: { zoomSeconds } }: DeckProfile): number {
  const wanted = fullWindows(track);
  const fits = zoomSeconds.findIndex((seconds) => seconds >= wanted);
  return fits < 0 ? zoomSeconds.length - 1 : fits;
}
