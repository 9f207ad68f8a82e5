/**
 * WebVTT chapters. W3C WebVTT, https://www.w3.org/TR/webvtt1/ : sections 4.1 (structure), 4.2.1 (chapter title text)
 * and 4.6.3 (files using chapter title text). Each marker is one cue from its time to that of the next later one, so
 * that cues are disjoint or have the same times, as the standard demands of chapters ("only nested cues"); a loop's
 * end stands in the exact text, which is the cue's identifier.
 */
import type { TextFormat } from '../types.ts';
import { read } from './read.ts';
import { write } from './write.ts';

export const webvtt: TextFormat = {
  id: 'webvtt',
  name: 'WebVTT chapters',
  extension: 'vtt',
  mediaType: 'text/vtt',
  resolution: 0.001,
  write,
  read,
  unseen: (markers) =>
    markers.some((m) => m.kind === 'loop')
      ? ['Another program sees where a loop starts, but not where it ends.']
      : [],
};
