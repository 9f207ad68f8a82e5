/** What an overview's columns do to markers, on a deck that shows a track in no other way. */
import type { Marker } from '../../markers/marker.ts';
import type { RuleContext } from '../context.ts';
import type { Remedy } from '../verdict.ts';
import { apartFrom, nearestStep, nearestTo } from './place.ts';
import { advice, type Finding, labelOf, lost, rule, weakened } from './rule.ts';

/**
 * From half a beat on a mark that stands elsewhere than it should reads as the neighbouring beat.
 * Estimate.
 */
export const SHIFT_BEATS = 0.5;
/** The same without a grid, s: half a beat at 120 bpm. */
export const SHIFT_SECONDS = 0.25;

/** The nearest place a column away from `other` on the marker's own side, on a beat where there is a grid. */
function apart(context: RuleContext, marker: Marker, other: Marker): Remedy | null {
  const { overviewColumn: column, analysis } = context;
  const side = marker.time < other.time ? -1 : 1;
  const bare = other.time + side * column;
  const beat = context.beatSeconds(bare) ?? 0;
  const on = nearestStep(context, bare, 1);
  // The nearest beat may lie too near again; the next one then does not.
  const tooNear = on !== null && Math.abs(on - other.time) < column;
  const time = on === null ? bare : tooNear ? on + side * beat : on;
  return time >= 0 && time <= analysis.duration ? { action: 'move-to', time } : null;
}

function merge(marker: Marker, context: RuleContext): Finding | null {
  const { onOverview, overviewColumn, mergedMarks } = context;
  if (!onOverview.some((m) => m.id === marker.id)) return null;
  const nearest = nearestTo(
    marker,
    onOverview.filter((other) => other.id !== marker.id),
  );
  if (!nearest || apartFrom(marker, nearest) >= overviewColumn) return null;
  const stays = mergedMarks.get(marker.id);
  const other = stays ?? nearest;
  const params = { other: labelOf(other), apart: apartFrom(marker, other), column: overviewColumn };
  // Who matters less is the one to move.
  const moves = marker.importance <= other.importance ? apart(context, marker, other) : null;
  return stays
    ? lost(params, moves, advice('leave-one-out'))
    : weakened(params, moves, advice('leave-one-out'));
}

export const overviewRules = [
  rule('overview-merge', ['cue', 'mark'], merge),
  rule('overview-shift', ['cue', 'mark'], (marker, context) => {
    const { onOverview, overviewColumn } = context;
    if (!onOverview.some((m) => m.id === marker.id)) return null;
    const drawn = (Math.floor(marker.time / overviewColumn + 1e-6) + 0.5) * overviewColumn;
    const shift = drawn - marker.time;
    const beat = context.beatSeconds(marker.time);
    const beats = beat ? shift / beat : null;
    const seen = beats === null ? Math.abs(shift) >= SHIFT_SECONDS : Math.abs(beats) >= SHIFT_BEATS;
    if (!seen) return null;
    return weakened(
      { shift, column: overviewColumn, ...(beats === null ? {} : { beats }) },
      advice('find-by-ear'),
    );
  }),
];
