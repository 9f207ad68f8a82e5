/**
 * The project's own file of markers. Everything that a marker has is in it, so that it is exact. The published JSON
 * Schema beside it (`boothproof-markers.schema.json`) is made from this one by `tests/exchange/json-schema.ts`.
 */
import * as v from 'valibot';
import { MAX_MARKERS, MarkerSchema } from '../../markers/marker.ts';

export const MARKERS_FORMAT = 'boothproof-markers';
export const MARKERS_VERSION = 1;

export const MarkersFileSchema = v.strictObject({
  format: v.literal(MARKERS_FORMAT),
  version: v.literal(MARKERS_VERSION),
  /** The track that the markers were made for; for people and for a check, never needed. */
  track: v.optional(
    v.strictObject({
      title: v.nullable(v.pipe(v.string(), v.maxLength(500))),
      artist: v.nullable(v.pipe(v.string(), v.maxLength(500))),
      /** s */
      duration: v.pipe(v.number(), v.minValue(0)),
    }),
  ),
  /** Ids and slots are each used once, and a loop ends after its time. */
  markers: v.pipe(v.array(MarkerSchema), v.maxLength(MAX_MARKERS)),
});

export type MarkersFile = v.InferOutput<typeof MarkersFileSchema>;
