/** Reads a file's tags and cover through its byte source, by `music-metadata`. */
import { parseFromTokenizer, type IAudioMetadata } from 'music-metadata';
import type { Cover, TrackTags } from '../../shared/tags.ts';
import { SourceTokenizer } from './tokenizer.ts';
import type { ByteSource } from './types.ts';

const MEDIA_TYPE = /^image\/[a-z0-9.+-]+$/i;

const utf8 = new TextDecoder('utf-8', { fatal: true });
/** Characters of one byte in Latin-1, some of them beyond ASCII. */
const LATIN1 = /^[\0-\xff]*[\x80-\xff][\0-\xff]*$/;

/**
 * A text that says something, or null. RIFF INFO and old ID3 tags do not tell their encoding and are read as Latin-1;
 * what is valid UTF-8 all the same was written as UTF-8 (real Latin-1 hardly ever is).
 */
function text(value: unknown): string | null {
  if (typeof value === 'number') return String(value);
  const trimmed = typeof value === 'string' ? value.replaceAll('\0', '').trim() : '';
  if (LATIN1.test(trimmed)) {
    try {
      return utf8.decode(Uint8Array.from(trimmed, (c) => c.charCodeAt(0)));
    } catch {
      // It is Latin-1.
    }
  }
  return trimmed === '' ? null : trimmed;
}

const first = (values: readonly unknown[] | undefined) => text(values?.[0]);

/** The file's name without its ending. */
export function titleFromName(name: string): string {
  const bare = name.replace(/\.[^.]+$/, '').trim();
  return bare === '' ? name : bare;
}

function coverOf(common: IAudioMetadata['common']): Cover | null {
  const pictures = common.picture ?? [];
  const picture = pictures.find((p) => /front/i.test(p.type ?? '')) ?? pictures[0];
  if (!picture || picture.data.length === 0) return null;
  // Some writers leave out the first half of the type.
  const format = picture.format.includes('/') ? picture.format : `image/${picture.format}`;
  const mime = format.toLowerCase().replace('image/jpg', 'image/jpeg');
  return MEDIA_TYPE.test(mime) ? { mime, bytes: Uint8Array.from(picture.data) } : null;
}

function tagsOf({ common }: IAudioMetadata, name: string): TrackTags {
  const [comment] = common.comment ?? [];
  return {
    title: text(common.title) ?? titleFromName(name),
    artist: text(common.artist),
    album: text(common.album),
    genre: first(common.genre),
    year: Number.isInteger(common.year) && common.year! > 0 ? common.year! : null,
    comment: text(typeof comment === 'object' ? comment?.text : comment),
    key: text(common.key),
    bpm: text(common.bpm),
    isrc: first(common.isrc),
    cover: coverOf(common),
  };
}

async function metadataOf(source: ByteSource): Promise<IAudioMetadata> {
  try {
    return await parseFromTokenizer(new SourceTokenizer(source), {
      duration: false,
      skipPostHeaders: false,
      includeChapters: false,
    });
  } catch {
    // A damaged tag must not keep the track from being loaded.
    return { common: {}, native: {} } as IAudioMetadata;
  }
}

/**
 * Reads the tags of a track. Never throws: what cannot be read is null, and the title falls back to the file's name.
 */
export async function readTags(source: ByteSource): Promise<TrackTags> {
  return tagsOf(await metadataOf(source), source.name);
}

/** Tags that the app itself has no use for, but whoever gets a copy may. */
export interface FurtherTags {
  albumArtist: string | null;
  /** Several names are parted by a slash, as ID3v2.3 has them. */
  composer: string | null;
  lyricist: string | null;
  conductor: string | null;
  remixer: string | null;
  label: string | null;
  catalogueNumber: string | null;
  copyright: string | null;
  grouping: string | null;
  subtitle: string | null;
  mood: string | null;
  /** `3` or `3/12` */
  trackNumber: string | null;
  discNumber: string | null;
}

export interface AllTags extends TrackTags {
  further: FurtherTags;
  /** What else stands in the file, in plain words; a copy does not have it. */
  left: string[];
}

/** Keys of `music-metadata` that are in `TrackTags` or `FurtherTags`, or that tell of the old file only. */
const TAKEN: readonly string[] = [
  ...[
    'title',
    'artist',
    'artists',
    'album',
    'genre',
    'year',
    'date',
    'comment',
    'key',
    'bpm',
    'isrc',
    'picture',
  ],
  ...['albumartist', 'albumartists', 'composer', 'lyricist', 'conductor', 'remixer', 'label', 'publisher'],
  ...['catalognumber', 'copyright', 'grouping', 'subtitle', 'mood', 'track', 'disk', 'movementIndex'],
  ...['encodedby', 'encodersettings', 'gapless', 'totaltracks', 'totaldiscs'],
];
/** Frames in which programs keep data of their own (ID3v2.3, 4.16 and 4.28; MP4's `----`). */
const OF_PROGRAMS = /^(GEOB|PRIV)\b/;

const all = (values: readonly unknown[] | undefined) => text(values?.map(text).filter(Boolean).join('/'));
const numbered = (place: { no: number | null; of: number | null } | undefined) =>
  place?.no ? `${place.no}${place.of ? `/${place.of}` : ''}` : null;

/** Reads everything that a copy can have. Never throws. */
export async function readAllTags(source: ByteSource): Promise<AllTags> {
  const metadata = await metadataOf(source);
  const { common, native } = metadata;
  const left = Object.entries(common)
    .filter(([key, value]) => !TAKEN.includes(key) && value !== undefined)
    .map(([key]) => key.replaceAll('_', ' '));
  const pictures = common.picture?.length ?? 0;
  if (pictures > 1) left.push(pictures === 2 ? 'one more picture' : `${pictures - 1} more pictures`);
  const frames = Object.values(native ?? {}).flat();
  if (frames.some(({ id }) => OF_PROGRAMS.test(id))) left.push('data that other programs keep there');
  return {
    ...tagsOf(metadata, source.name),
    further: {
      albumArtist: text(common.albumartist),
      composer: all(common.composer),
      lyricist: all(common.lyricist),
      conductor: all(common.conductor),
      remixer: all(common.remixer),
      label: all(common.label) ?? all(common.publisher),
      catalogueNumber: all(common.catalognumber),
      copyright: text(common.copyright),
      grouping: text(common.grouping),
      subtitle: all(common.subtitle),
      mood: text(common.mood),
      trackNumber: numbered(common.track),
      discNumber: numbered(common.disk),
    },
    left,
  };
}
