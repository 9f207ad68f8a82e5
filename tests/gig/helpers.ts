/** Sets, booths and tracks for the tests of the gig. Artists and titles are invented. */
import type { DeckProfile } from '../../shared/profile/schema.ts';
import type { Booth, GigSet, SetEntry, SetTrack } from '../../shared/gig/types.ts';
import { entryOf } from '../../shared/gig/set.ts';
import { FULL, type LevelAt } from '../display/tracks.ts';
import { DURATION, GRID, judged, WAV } from '../survival/helpers.ts';

/** The same level all the way: no change can be seen anywhere. */
export const even: LevelAt = (layer) => ({ peak: layer === FULL ? 0.5 : 0.3, rms: 0.2 });

/** Made once: pyramids take a while, and one that is judged must not change. */
const evenPyramid = judged({}, even).pyramid;

export function setTrack(id: string, changes: Partial<SetTrack> = {}): SetTrack {
  const title = changes.title ?? `Harbour ${id}`;
  return {
    id,
    title,
    artist: 'Mira Quell',
    fileName: `${id}.wav`,
    tags: {
      title,
      artist: 'Mira Quell',
      album: null,
      genre: null,
      year: null,
      comment: null,
      key: null,
      bpm: null,
      isrc: null,
    },
    source: WAV,
    duration: DURATION,
    partial: null,
    silent: false,
    grid: GRID,
    gridByHand: false,
    sections: [],
    markers: [],
    key: null,
    pyramid: { ...evenPyramid },
    metadataBytes: null,
    ...changes,
  };
}

export const entry = (track: SetTrack, changes: Partial<SetEntry> = {}): SetEntry => ({
  ...entryOf(track, `e-${track.id}`),
  ...changes,
});

export const setOf = (...entries: SetEntry[]): GigSet => ({
  id: 's1',
  name: 'Friday',
  boothId: 'b1',
  entries,
});

export const boothOf = (...profiles: (DeckProfile | [DeckProfile, boolean])[]): Booth => ({
  id: 'b1',
  name: 'The Kiln',
  notes: '',
  decks: profiles.map((deck) => {
    const [profile, linked] = Array.isArray(deck) ? deck : [deck, true];
    return { profileId: profile.id, count: 2, linked };
  }),
});
