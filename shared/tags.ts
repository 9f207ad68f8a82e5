/** What a file says about itself. */

export interface Cover {
  /** Media type, for instance `image/jpeg`. */
  mime: string;
  bytes: Uint8Array<ArrayBuffer>;
}

export interface TrackTags {
  /** The file's name without its ending where the file gives no title. */
  title: string;
  artist: string | null;
  album: string | null;
  genre: string | null;
  year: number | null;
  comment: string | null;
  /** Key as the tag has it. */
  key: string | null;
  /** Tempo as the tag has it. */
  bpm: string | null;
  isrc: string | null;
  cover: Cover | null;
}
