import { MS_PER_SECOND } from '../../../shared/exchange/clock.ts';
import { pointsOf } from '../../../shared/exchange/points.ts';
import { ExchangeFault } from '../../../shared/exchange/types.ts';
import { be32, latin1 } from '../fields.ts';
import { withChapters } from '../id3/chapters.ts';
import { newTag, parseTag, tagBytes } from '../id3/tag.ts';
import { copyOf, joinBytes, partSize } from '../parts.ts';
import { tooLarge } from '../sentences.ts';
import type { Part, WriteMarkers } from '../types.ts';
import { isTagChunk, readChunks } from './chunks.ts';

const MOST = 0xffffffff;

/**
 * The copy has the chapters in its ID3v2 tag, which stands in a chunk `ID3 `; every other chunk stays as it is, MARK
 * too, since an instrument's loops may refer to it.
 */
export const writeMarkers: WriteMarkers = async (source, start, markers, context) => {
  const file = await readChunks(source, start);
  const points = pointsOf(markers, MS_PER_SECOND, context);
  const before = file.chunks.find(isTagChunk);
  const old = before ? parseTag(await source.read(before.body, before.end), source.name) : newTag();
  const { tag, notes } = withChapters(old, points, context);

  const body: Part[] = [{ from: start + 8, to: start + 12 }];
  for (const c of file.chunks) {
    if (c === before) continue;
    body.push({ from: c.start, to: c.next });
    // A writer may have left out the padding byte at the very end.
    if (c.next === c.end && (c.end - c.body) % 2 === 1) body.push(new Uint8Array(1));
  }
  if (before || tag.frames.length > 0) {
    const bytes = tagBytes(tag, source.name);
    body.push(joinBytes([latin1('ID3 '), be32(bytes.length), bytes, new Uint8Array(bytes.length & 1)]));
  }
  if (points.length === 0 && file.chunks.some((c) => c.id === 'MARK')) {
    notes.push(`“${source.name}” has a MARK chunk of its own, which the copy keeps.`);
  }
  const size = body.reduce((n, p) => n + partSize(p), 0);
  if (size > MOST) throw new ExchangeFault(tooLarge(source.name, 'an AIFF file (4 GB)'));
  return copyOf(
    [{ from: 0, to: start + 4 }, be32(size), ...body, { from: file.end, to: source.size }],
    notes,
  );
};
