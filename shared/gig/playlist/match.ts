/** Which track of the library an entry of a playlist is. */
import type { SetEntry, SetTrack } from '../types.ts';
import { fileNamesOf, folded, stemOf } from './path.ts';
import type { PlaylistEntry } from './types.ts';

/** As much of a library track as finding it needs. */
export type FindableTrack = Pick<SetTrack, 'id' | 'title' | 'artist' | 'fileName' | 'duration'>;

/** Lengths nearer than this are those of one recording, s: playlists round to whole seconds. */
const SAME_LENGTH = 2;

/** How a track was found: by its file's name, by that without its ending, or by title and artist. */
export type MatchedBy = 'file' | 'file-without-ending' | 'title';

export interface Match {
  entryId: string;
  trackId: string | null;
  by: MatchedBy | null;
  /** Other tracks that fit as well; the one of the same length, else the first in the library, was taken. */
  others: string[];
}

export interface MatchedPlaylist {
  /** In the list's order, unmatched ones too. */
  entries: SetEntry[];
  matches: Match[];
  /** Entries that no track of the library fits. */
  unmatched: SetEntry[];
}

/**
 * Finds each entry in the library: by file name (as it stands, then without percent-encoding, then in any letter
 * case), by that without its ending (a copy in another format), then by title and artist.
 * @param newId makes the id of an entry; called once for each
 */
export function matchEntries(
  list: readonly PlaylistEntry[],
  tracks: readonly FindableTrack[],
  newId: () => string,
): MatchedPlaylist {
  const index = indexOf(tracks);
  const matches: Match[] = [];
  const entries = list.map((entry): SetEntry => {
    const id = newId();
    const found = find(entry, index);
    const chosen = found && choose(found.tracks, entry.seconds);
    matches.push({
      entryId: id,
      trackId: chosen?.id ?? null,
      by: found?.by ?? null,
      others: found ? found.tracks.filter((t) => t !== chosen).map((t) => t.id) : [],
    });
    const fileName = entry.path || (chosen?.fileName ?? '');
    return {
      id,
      trackId: chosen?.id ?? null,
      title: chosen?.title || entry.title || stemOf(fileNamesOf(entry.path)[0] ?? ''),
      artist: chosen ? (chosen.artist ?? entry.artist) : entry.artist,
      fileName,
      ...mixPoints(entry, chosen?.duration ?? null),
      moves: [],
      note: entry.note,
    };
  });
  return { entries, matches, unmatched: entries.filter(({ trackId }) => trackId === null) };
}

/** What was found, as one plain sentence. */
export function matchSentence({ entries, unmatched, matches }: MatchedPlaylist): string {
  const guessed = matches.filter(({ others }) => others.length).length;
  const told = `${entries.length - unmatched.length} of ${entries.length} tracks were found in the library.`;
  const missing = unmatched.length
    ? ` ${unmatched.length === 1 ? 'One is' : `${unmatched.length} are`} not there: add the files, then match again.`
    : '';
  const several = guessed
    ? ` For ${guessed} of them more than one track fits: look whether the right one was taken.`
    : '';
  return told + missing + several;
}

/** Points that the track does not reach, or in the wrong order, are left out: nothing could be done with them. */
function mixPoints({ mixIn, mixOut }: PlaylistEntry, duration: number | null) {
  const within = (time: number | null) =>
    time !== null && (duration === null || time <= duration) ? time : null;
  const [from, to] = [within(mixIn), within(mixOut)];
  return { mixIn: from, mixOut: from !== null && to !== null && to <= from ? null : to };
}

interface Index {
  exact: Map<string, FindableTrack[]>;
  anyCase: Map<string, FindableTrack[]>;
  stem: Map<string, FindableTrack[]>;
  title: Map<string, FindableTrack[]>;
}

const named = (artist: string, title: string): string => `${folded(artist)}\n${folded(title)}`;

function indexOf(tracks: readonly FindableTrack[]): Index {
  const index: Index = { exact: new Map(), anyCase: new Map(), stem: new Map(), title: new Map() };
  const add = (map: Map<string, FindableTrack[]>, key: string, track: FindableTrack) => {
    const known = map.get(key);
    if (known) known.push(track);
    else map.set(key, [track]);
  };
  for (const track of tracks) {
    add(index.exact, track.fileName, track);
    add(index.anyCase, folded(track.fileName), track);
    add(index.stem, folded(stemOf(track.fileName)), track);
    if (track.title) add(index.title, named(track.artist ?? '', track.title), track);
  }
  return index;
}

function find(entry: PlaylistEntry, index: Index): { tracks: FindableTrack[]; by: MatchedBy } | null {
  const names = fileNamesOf(entry.path);
  const lookUp = (map: Map<string, FindableTrack[]>, key: (name: string) => string) =>
    names.map((name) => map.get(key(name))).find((tracks) => tracks !== undefined);
  const byFile = lookUp(index.exact, (name) => name) ?? lookUp(index.anyCase, folded);
  if (byFile) return { tracks: byFile, by: 'file' };
  const byStem = lookUp(index.stem, (name) => folded(stemOf(name)));
  if (byStem) return { tracks: byStem, by: 'file-without-ending' };
  const byTitle = entry.title ? index.title.get(named(entry.artist, entry.title)) : undefined;
  return byTitle ? { tracks: byTitle, by: 'title' } : null;
}

function choose(tracks: readonly FindableTrack[], seconds: number | null): FindableTrack {
  if (seconds === null) return tracks[0];
  const away = (track: FindableTrack) => Math.abs(track.duration - seconds);
  const nearest = tracks.reduce((a, b) => (away(b) < away(a) ? b : a));
  return away(nearest) <= SAME_LENGTH ? nearest : tracks[0];
}
