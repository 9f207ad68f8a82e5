/** The shape of corrected sections, for records that come from outside (a backup, an older database). */
import * as v from 'valibot';
import type { EditedSection } from './edit.ts';

const finite = v.pipe(v.number(), v.finite());

export const EditedSectionsSchema = v.pipe(
  v.array(
    v.looseObject({
      startTime: finite,
      endTime: finite,
      label: v.string(),
      strength: finite,
      why: v.string(),
      energy: finite,
      byHand: v.optional(v.boolean()),
    }),
  ),
  v.check(
    (list) =>
      list.every((s, i) => s.endTime >= s.startTime && (i === 0 || s.startTime >= list[i - 1].startTime)),
    'sections in order of time',
  ),
) satisfies v.GenericSchema<unknown, EditedSection[]>;
