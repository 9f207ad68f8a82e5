import { markersOf } from '../../../shared/exchange/points.ts';
import type { ReadFileMarkers } from '../types.ts';
import { cuePoints, readChunks } from './chunks.ts';

/** `cue ` points with the labels, notes and lengths of `LIST adtl`. */
export const readMarkers: ReadFileMarkers = async (source, start, context) => {
  const file = await readChunks(source, start);
  const points = await cuePoints(source, file);
  const seen = points.map(({ sample, label, note, length }) => ({
    at: sample,
    end: length > 0 ? sample + length : null,
    title: label,
    exact: note,
  }));
  return { ...markersOf(seen, file.sampleRate, context), resolution: 1 / file.sampleRate };
};
