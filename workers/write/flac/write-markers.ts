import { MS_PER_SECOND } from '../../../shared/exchange/clock.ts';
import { pointsOf } from '../../../shared/exchange/points.ts';
import { ExchangeFault } from '../../../shared/exchange/types.ts';
import { DecodeFault } from '../../decode/types.ts';
import { copyOf, partSize } from '../parts.ts';
import { damagedFile, tooLarge } from '../sentences.ts';
import type { Part, WriteMarkers } from '../types.ts';
import { notedMarkers, withChapters } from '../vorbis-comment/chapters.ts';
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
  type MetadataBlock,
} from './blocks.ts';
import { isSheetOf, sheetOfMarkers } from './cue-sheet-markers.ts';
import { MOST_TRACKS, cueSheetBytes } from './cue-sheet.ts';
import { keptSheet, notInSheet, sheetGaveWay } from './sentences.ts';

/** bytes left free, so that another program can change a little without moving the audio; common practice */
const NEW_PADDING = 4096;

interface NewBlock {
  type: number;
  body: Part;
}

/**
 * The copy has the chapters in its Vorbis comments; all other blocks stay as they are, padding apart.
 * A cue sheet block is written beside them only where the person asks for it: it has no names, and programs that heed
 * it show one file as several tracks, which is seldom wished of a track in a set. It stands before the comments: there
 * are readers that give both the same numbers and let the later one win (ffprobe 5.1), and the names are in the
 * comments. A block of another program is kept, since it may hold what no marker does (ISRC, catalogue number); only
 * where one is asked for it has to give way.
 */
export const writeMarkers: WriteMarkers = async (source, start, markers, context, { cueSheetBlock }) => {
  const file = await readBlocks(source, start);
  const points = pointsOf(markers, MS_PER_SECOND, context);
  const bodyOf = ({ body, end }: MetadataBlock) => source.read(body, end);
  const commentBlock = file.blocks.find((b) => b.type === VORBIS_COMMENT);
  const before = commentBlock ? parseComments(await bodyOf(commentBlock)) : newComments();
  if (!before) throw new DecodeFault('damaged', damagedFile(source.name));
  const { comments, notes } = withChapters(before, points, context);
  const comment = commentBytes(comments);
  if (comment.length > MOST_BLOCK_BYTES)
    throw new ExchangeFault(tooLarge(source.name, 'a comment block (16 MB)'));

  const wished = cueSheetBlock ? sheetOfMarkers(markers, file.info, context) : null;
  const sheets: NewBlock[] = [];
  if (wished) {
    sheets.push({ type: CUESHEET, body: cueSheetBytes(wished.sheet) });
    if (wished.left > 0) notes.push(notInSheet(source.name, wished.left, MOST_TRACKS));
  }
  const noted = notedMarkers(before);
  for (const block of file.blocks.filter(({ type }) => type === CUESHEET)) {
    const body = await bodyOf(block);
    if (isSheetOf(body, noted, file.info, context)) continue;
    if (wished) {
      notes.push(sheetGaveWay(source.name));
    } else {
      notes.push(keptSheet(source.name));
      sheets.push({ type: CUESHEET, body: { from: block.body, to: block.end } });
    }
  }

  const kept: NewBlock[] = [];
  for (const block of file.blocks) {
    const { type, body, end } = block;
    if (type === PADDING || type === CUESHEET) continue;
    if (block === commentBlock) kept.push(...sheets, { type, body: comment });
    else kept.push({ type, body: { from: body, to: end } });
    if (type === STREAMINFO && !commentBlock) {
      kept.push(...sheets);
      if (points.length > 0) kept.push({ type: VORBIS_COMMENT, body: comment });
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
