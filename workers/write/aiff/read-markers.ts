import { markersOf, type SeenPoint } from '../../../shared/exchange/points.ts';
import { u16be, u32be } from '../../decode/bytes.ts';
import { textOf } from '../fields.ts';
import { markersOfTag } from '../id3/chapters.ts';
import { parseTag } from '../id3/tag.ts';
import type { ReadFileMarkers } from '../types.ts';
import { isTagChunk, readChunks } from './chunks.ts';

/** Chapters of the tag; where there are none, the markers of the MARK chunk (AIFF 1.3, section "Marker Chunk"). */
export const readMarkers: ReadFileMarkers = async (source, start, context) => {
  const { chunks, sampleRate } = await readChunks(source, start);
  const tag = chunks.find(isTagChunk);
  if (tag) {
    const read = markersOfTag(parseTag(await source.read(tag.body, tag.end), source.name), context);
    if (read.markers.length > 0) return read;
  }
  const mark = chunks.find((c) => c.id === 'MARK');
  const seen = mark ? marksOf(await source.read(mark.body, mark.end)) : [];
  return { ...markersOf(seen, sampleRate, context), resolution: 1 / sampleRate };
};

/** Count, then for each marker: id, position in samples, and a text with its length in front, padded to an even one. */
function marksOf(b: Uint8Array): SeenPoint[] {
  const seen: SeenPoint[] = [];
  const count = b.length >= 2 ? u16be(b, 0) : 0;
  for (let i = 0, o = 2; i < count && o + 7 <= b.length; i++) {
    const length = b[o + 6];
    seen.push({ at: u32be(b, o + 2), title: textOf(b.subarray(o + 7, o + 7 + length)) });
    o += 7 + length + ((length + 1) & 1);
  }
  return seen;
}
