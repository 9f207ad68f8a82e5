import { markersOf } from '../../../shared/exchange/points.ts';
import type { ReadFileMarkers } from '../types.ts';
import { markersOfComments, notedMarkers } from '../vorbis-comment/chapters.ts';
import { newComments, parseComments } from '../vorbis-comment/comments.ts';
import { CUESHEET, VORBIS_COMMENT, readBlocks } from './blocks.ts';
import { furtherPlaces, isSheetOf, leftOut, placesOf, withPlaces } from './cue-sheet-markers.ts';
import { parseCueSheet } from './cue-sheet.ts';
import { furtherInSheet, oddSheet } from './sentences.ts';

/**
 * The chapters of the comments (where there are none, a CUE sheet in them), and what the cue sheet block has beside
 * them: it has no names, but may tell of further places, and of the same ones to the sample.
 */
export const readMarkers: ReadFileMarkers = async (source, start, context) => {
  const { blocks, info } = await readBlocks(source, start);
  const bodyOf = async (type: number) => {
    const block = blocks.find((b) => b.type === type);
    return block ? source.read(block.body, block.end) : null;
  };
  const commentBody = await bodyOf(VORBIS_COMMENT);
  const comments = (commentBody && parseComments(commentBody)) ?? newComments();
  const read = markersOfComments(comments, context);
  const body = await bodyOf(CUESHEET);
  const noted = notedMarkers(comments);
  if (!body || isSheetOf(body, noted, info, context)) return read;
  const sheet = parseCueSheet(body);
  if (!sheet) return { ...read, notes: [...read.notes, oddSheet(context.fileName)] };
  const places = placesOf(sheet);
  if (noted.length > 0) {
    // A block of another program beside our chapters. It was kept when they were written, so its places are not the
    // person's markers; what it has more is told.
    const further = furtherPlaces(read, places, info.sampleRate).length;
    return further ? { ...read, notes: [...read.notes, furtherInSheet(context.fileName, further)] } : read;
  }
  const told = { ...read, notes: [...read.notes, ...leftOut(sheet, context.fileName)] };
  if (read.markers.length > 0) return withPlaces(told, places, info.sampleRate, context);
  const { markers, notes } = markersOf(places, info.sampleRate, context);
  return { markers, notes: [...told.notes, ...notes], resolution: 1 / info.sampleRate };
};
