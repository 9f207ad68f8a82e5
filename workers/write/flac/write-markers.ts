import { MS_PER_SECOND } from '../../../shared/exchange/clock.ts';
import { pointsOf } from '../../../shared/exchange/points.ts';
import { ExchangeFault } from '../../../shared/exchange/types.ts';
import { DecodeFault } from '../../decode/types.ts';
import { copyOf, partSize } from '../parts.ts';
import { damagedFile, tooLarge } from '../sentences.ts';
import type { Part, WriteMarkers } from '../types.ts';
import { withChapters } from '../vorbis-comment/chapters.ts';
import { commentBytes, newComments, parseComments } from '../vorbis-comment/comments.ts';
import {
  BLOCK_HEADER_BYTES,
  CUESHEET,
  MOST_BLOCK_BYTES,
  PADDING,
  STREAMINFO,
  VORBIS_COMMENT,
  blockHeader,
  readBlocks,
} from './blocks.ts';

/** bytes left free, so that another program can change a little without moving the audio; common practice */
const NEW_PADDING = 4096;

/**
 * The copy has the chapters in its Vorbis comments; all other blocks stay as they are, padding apart. No cue sheet
 * block is written: it has no names, and ffprobe for one shows it instead of the chapters' comments.
 */
export const writeMarkers: WriteMarkers = async (source, start, markers, context) => {
  const file = await readBlocks(source, start);
  const points = pointsOf(markers, MS_PER_SECOND, context);
  const commentBlock = file.blocks.find((b) => b.type === VORBIS_COMMENT);
  const before = commentBlock
    ? parseComments(await source.read(commentBlock.body, commentBlock.end))
    : newComments();
  if (!before) throw new DecodeFault('damaged', damagedFile(source.name));
  const { comments, notes } = withChapters(before, points, context);
  const comment = commentBytes(comments);
  if (comment.length > MOST_BLOCK_BYTES)
    throw new ExchangeFault(tooLarge(source.name, 'a comment block (16 MB)'));

  const kept: { type: number; body: Part }[] = [];
  for (const block of file.blocks) {
    const { type, body, end } = block;
    if (type === PADDING) continue;
    if (type === CUESHEET) {
      notes.push(
        `“${source.name}” has a cue sheet block of its own, which the copy keeps; some programs show that instead of the markers.`,
      );
    }
    kept.push({ type, body: block === commentBlock ? comment : { from: body, to: end } });
    if (type === STREAMINFO && !commentBlock && points.length > 0) {
      kept.push({ type: VORBIS_COMMENT, body: comment });
    }
  }

  const first = start + 4;
  const content = kept.reduce((n, b) => n + BLOCK_HEADER_BYTES + partSize(b.body), 0);
  // The old length is kept where it can be, so that writing again changes nothing.
  const room = file.audio - first - content;
  if (room !== 0) {
    const fits = room >= BLOCK_HEADER_BYTES;
    const padding = Math.min(fits ? room - BLOCK_HEADER_BYTES : NEW_PADDING, MOST_BLOCK_BYTES);
    kept.push({ type: PADDING, body: new Uint8Array(padding) });
  }
  const blocks = kept.flatMap(({ type, body }, i): Part[] => [
    blockHeader(type, partSize(body), i === kept.length - 1),
    body,
  ]);
  return copyOf([{ from: 0, to: first }, ...blocks, { from: file.audio, to: source.size }], notes);
};
