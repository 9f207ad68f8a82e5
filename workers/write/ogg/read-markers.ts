import type { StreamHead } from '../../decode/ogg/streams.ts';
import { DecodeFault } from '../../decode/types.ts';
import { damagedFile } from '../sentences.ts';
import type { ReadFileMarkers } from '../types.ts';
import { markersOfComments } from '../vorbis-comment/chapters.ts';
import { HeaderPackets, headOf, placedPages } from './headers.ts';

/** Chapters of the comments of the first audio stream. */
export const readMarkers: ReadFileMarkers = async (source, start, context) => {
  let headers: HeaderPackets | null = null;
  let serial = 0;
  for await (const page of placedPages(source, start)) {
    const head: StreamHead | null = headers ? null : headOf(page);
    if (head) {
      headers = new HeaderPackets(head, source.name);
      serial = page.serial;
    } else if (headers && page.serial === serial) headers.take(page);
    if (headers?.complete) return markersOfComments(headers.comments(), context);
  }
  throw new DecodeFault('damaged', damagedFile(source.name));
};
