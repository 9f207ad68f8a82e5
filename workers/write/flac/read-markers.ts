import { markersOf } from '../../../shared/exchange/points.ts';
import type { ReadFileMarkers } from '../types.ts';
import { markersOfComments } from '../vorbis-comment/chapters.ts';
import { newComments, parseComments } from '../vorbis-comment/comments.ts';
import { CUESHEET, VORBIS_COMMENT, readBlocks } from './blocks.ts';
import { tracksOf } from './cue-sheet.ts';

/** Chapters of the comments, else a CUE sheet in them, else the cue sheet block. */
export const readMarkers: ReadFileMarkers = async (source, start, context) => {
  const { blocks, info } = await readBlocks(source, start);
  const bodyOf = async (type: number) => {
    const block = blocks.find((b) => b.type === type);
    return block ? source.read(block.body, block.end) : null;
  };
  const comments = await bodyOf(VORBIS_COMMENT);
  const read = markersOfComments((comments && parseComments(comments)) ?? newComments(), context);
  const sheet = await bodyOf(CUESHEET);
  if (read.markers.length > 0 || !sheet) return read;
  const { markers, notes } = markersOf(tracksOf(sheet), info.sampleRate, context);
  return { markers, notes: [...read.notes, ...notes], resolution: 1 / info.sampleRate };
};
