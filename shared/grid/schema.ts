/** The shape of a corrected beat grid, for records that come from outside (a backup, an older database). */
import * as v from 'valibot';
import type { EditedGrid } from './edit-model.ts';

const seconds = v.pipe(v.number(), v.finite());
const share = v.pipe(v.number(), v.finite());
/** Beats from the first: a day of them is fewer. */
const beat = v.pipe(v.number(), v.finite(), v.minValue(-1e6), v.maxValue(1e6));

const segment = v.looseObject({
  startBeat: beat,
  startTime: seconds,
  // Wider than what an edit may lead to: this keeps out what beats cannot be counted with, no more.
  bpm: v.pipe(v.number(), v.minValue(1), v.maxValue(2000)),
});
const segments = v.pipe(
  v.array(segment),
  v.maxLength(100_000),
  v.check(
    (list) =>
      list.every(
        (s, i) => i === 0 || (s.startBeat > list[i - 1].startBeat && s.startTime > list[i - 1].startTime),
      ),
    'segments in order of beat and time',
  ),
);

/** What it must hold to be read as a grid; whatever else it has is kept. */
export const EditedGridSchema = v.pipe(
  v.looseObject({
    kind: v.picklist(['constant', 'variable', 'none']),
    segments,
    beatsPerBar: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(32)),
    firstBeatInBar: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(31)),
    phraseOffsetBars: v.nullable(v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(63))),
    endTime: v.pipe(seconds, v.minValue(0), v.maxValue(7 * 86_400)),
    confidence: share,
    downbeatConfidence: share,
    regions: v.array(v.looseObject({ startTime: seconds, endTime: seconds, confidence: share })),
    anchors: v.optional(v.array(v.looseObject({ beat, time: seconds }))),
    unanchored: v.optional(segments),
    scaledFrom: v.optional(beat),
    locked: v.optional(v.boolean()),
  }),
  v.check((grid) => grid.firstBeatInBar < grid.beatsPerBar, 'a first beat that is one of its bar'),
  v.check(
    (grid) => (grid.kind === 'none') === (grid.segments.length === 0),
    'segments unless its kind is "none"',
  ),
) satisfies v.GenericSchema<unknown, EditedGrid>;
