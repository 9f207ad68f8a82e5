/** Markers and tracks to try edits on. */
import * as fc from 'fast-check';
import { LAYERS } from '../../shared/bands.ts';
import type { Section } from '../../shared/analysis.ts';
import { freeSlot, inOrder, type Marker } from '../../shared/markers/marker.ts';
import type { Pyramid } from '../../shared/pyramid.ts';
import { DURATION } from '../mark/grids.ts';

/** A pyramid of one level, silent but for a level from each of `hits` (s) on for 50 ms. */
export function pyramidWithHits(hits: readonly number[], duration = DURATION, hop = 0.005): Pyramid {
  const length = Math.ceil(duration / hop);
  const level = new Float32Array(length).fill(0.02);
  for (const hit of hits) level.fill(0.8, Math.round(hit / hop), Math.round((hit + 0.05) / hop));
  const layers = LAYERS.map(() => level);
  return { duration, levels: [{ hop, length, peak: layers, rms: layers }] };
}

export function section(label: string, startTime: number, endTime: number, energy = 0.5): Section {
  return { label, startTime, endTime, strength: 0.7, why: '', energy };
}

const common = {
  time: fc.double({ min: 0, max: DURATION - 40, noNaN: true }),
  name: fc.string({ maxLength: 12 }).map((name) => name.trim().replace(/\s+/g, ' ')),
  importance: fc.constantFrom(1 as const, 2 as const, 3 as const),
};
const oneMarker = fc.oneof(
  fc.record({ kind: fc.constant('cue' as const), ...common, colour: fc.constantFrom(null, '#f28788') }),
  fc.record({ kind: fc.constant('mark' as const), ...common }),
  fc
    .record({
      kind: fc.constant('loop' as const),
      ...common,
      length: fc.double({ min: 0.1, max: 16, noNaN: true }),
    })
    .map(({ length, ...loop }) => ({ ...loop, endTime: loop.time + length, beats: null })),
);

/** Valid markers of one track, in order. */
export const anyMarkers: fc.Arbitrary<Marker[]> = fc.array(oneMarker, { maxLength: 14 }).map((list) => {
  const markers: Marker[] = [];
  list.forEach((marker, i) => {
    const id = `m${i + 1}`;
    markers.push(marker.kind === 'cue' ? { ...marker, id, slot: freeSlot(markers) } : { ...marker, id });
  });
  return inOrder(markers);
});
