import { id3v2Length } from '../../decode/id3.ts';
import { markersOfTag } from '../id3/chapters.ts';
import { newTag, parseTag } from '../id3/tag.ts';
import type { ReadFileMarkers } from '../types.ts';

/** Chapters of the tag at the file's start. */
export const readMarkers: ReadFileMarkers = async (source, _start, context) => {
  const length = id3v2Length(await source.read(0, 10), 0);
  const tag = length === 0 ? newTag() : parseTag(await source.read(0, length), source.name);
  return markersOfTag(tag, context);
};
