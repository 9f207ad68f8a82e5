/**
 * CUE sheet. No standards body has published it; what is written here is common practice: one FILE, numbered TRACKs
 * of at most 99, titles in double quotes without any escape, times mm:ss:ff with 75 frames in a second (the frame
 * rate is that of the compact disc, IEC 60908), remarks in REM lines, which every reader skips. Text is UTF-8.
 */
import type { TextFormat } from '../types.ts';
import { read } from './read.ts';
import { sheetOf, write } from './write.ts';

export const cueSheet: TextFormat = {
  id: 'cue-sheet',
  name: 'CUE sheet',
  extension: 'cue',
  mediaType: 'application/x-cue',
  resolution: 1 / 75,
  write,
  read,
  unseen(markers, context) {
    const { hidden, tracks } = sheetOf(markers, context);
    const shared = tracks.reduce((n, t) => n + Math.max(0, t.points.length - 1), 0);
    const sentences: string[] = [];
    if (hidden.length > 0) {
      sentences.push(
        `A cue sheet has room for 99 tracks, so another program does not see ${hidden.length} of the less important markers.`,
      );
    }
    if (shared > 0) {
      sentences.push(`Of markers at the same place another program sees only the first (${shared} more).`);
    }
    if (markers.some((m) => m.kind === 'loop')) {
      sentences.push('Another program sees where a loop starts, but not where it ends.');
    }
    return sentences;
  },
};
