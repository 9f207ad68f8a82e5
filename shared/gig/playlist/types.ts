/** What a playlist says of one track. */
export interface PlaylistEntry {
  /** Empty where the list gives none. */
  title: string;
  artist: string;
  /** As the list gives it: a path or a URI. May be empty in a table. */
  path: string;
  /** s, or null */
  seconds: number | null;
  /** s, or null: not planned. */
  mixIn: number | null;
  mixOut: number | null;
  note: string;
}

export interface Playlist {
  /** Name that the list gives itself, or null. */
  name: string | null;
  entries: PlaylistEntry[];
  /** What was left out or guessed: plain sentences. */
  notes: string[];
}

export const emptyEntry = (): PlaylistEntry => ({
  title: '',
  artist: '',
  path: '',
  seconds: null,
  mixIn: null,
  mixOut: null,
  note: '',
});
