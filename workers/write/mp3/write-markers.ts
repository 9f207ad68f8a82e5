import { MS_PER_SECOND } from '../../../shared/exchange/clock.ts';
import { pointsOf } from '../../../shared/exchange/points.ts';
import { id3v2Length } from '../../decode/id3.ts';
import { withChapters } from '../id3/chapters.ts';
import { newTag, parseTag, tagBytes } from '../id3/tag.ts';
import { copyOf } from '../parts.ts';
import type { WriteMarkers } from '../types.ts';

/** The copy has the chapters in the tag at its start; a file without one gets one of version 2.3. */
export const writeMarkers: WriteMarkers = async (source, _start, markers, context) => {
  const points = pointsOf(markers, MS_PER_SECOND, context);
  const length = id3v2Length(await source.read(0, 10), 0);
  const before = length === 0 ? newTag() : parseTag(await source.read(0, length), source.name);
  const { tag, notes } = withChapters(before, points, context);
  const isEmpty = length === 0 && tag.frames.length === 0;
  const bytes = isEmpty ? new Uint8Array(0) : tagBytes(tag, source.name);
  return copyOf([bytes, { from: length, to: source.size }], notes);
};
