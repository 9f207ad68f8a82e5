/** Reads a file's tags and cover through its byte source, by `music-metadata`. */
import { parseFromTokenizer, type IAudioMetadata } from 'music-metadata';
import type { Cover, TrackTags } from '../../shared/tags.ts';
import { SourceTokenizer } from './tokenizer.ts';
import type { ByteSource } from './types.ts';

const MEDIA_TYPE = /^image\/[a-z0-9.+-]+$/i;

/** A text that says something, or null. */
function text(value: unknown): string | null {
  if (typeof value === 'number') return String(value);
  const trimmed = typeof value === 'string' ? value.replaceAll('\0', '').trim() : '';
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

/**
 * Reads the tags of a track. Never throws: what cannot be read is null, and the title falls back to the file's name.
 */
export async function readTags(source: ByteSource): Promise<TrackTags> {
  let metadata = { common: {} } as IAudioMetadata;
  try {
    metadata = await parseFromTokenizer(new SourceTokenizer(source), {
      duration: false,
      skipPostHeaders: false,
      includeChapters: false,
    });
  } catch {
    // A damaged tag must not keep the track from being loaded.
  }
  return tagsOf(metadata, source.name);
}
