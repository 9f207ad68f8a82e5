/** Places for a marker: near others, on the grid, in a slot, on the overview. */
import { beatAtTime, type BeatGrid, timeOfBeat } from '../../grid/grid.ts';
import type { HotCue, Marker } from '../../markers/marker.ts';
import type { RuleContext } from '../context.ts';
import type { Remedy } from '../verdict.ts';

/** Two markers this near stand for the same place, in beats. */
export const SAME_PLACE_BEATS = 1;
/** The same without a grid, s: a beat at 120 bpm. */
export const SAME_PLACE_SECONDS = 0.5;

/** How far two markers stand from one another, s. */
export const apartFrom = (a: Marker, b: Marker): number => Math.abs(a.time - b.time);

/** The one of `others` that stands nearest to `marker`, of several the first; null without any. */
export function nearestTo<M extends Marker>(marker: Marker, others: readonly M[]): M | null {
  let nearest: M | null = null;
  for (const other of others) {
    if (!nearest || apartFrom(other, marker) < apartFrom(nearest, marker)) nearest = other;
  }
  return nearest;
}

/** How far from `time` a marker still stands for the same place, s. */
export function reachAt(context: Pick<RuleContext, 'beatSeconds'>, time: number): number {
  const beat = context.beatSeconds(time);
  return beat ? beat * SAME_PLACE_BEATS : SAME_PLACE_SECONDS;
}

/** Slack for places that differ by the rounding of floats, s. */
const SLACK = 1e-6;

/** Whether `marker` stands within a beat of `time`. */
export function standsAt(context: Pick<RuleContext, 'beatSeconds'>, marker: Marker, time: number): boolean {
  return Math.abs(marker.time - time) <= reachAt(context, time) + SLACK;
}

/** Whether a section begins within a beat of `time`; the one that begins with the track does not count. */
export function sectionBeginsAt(context: RuleContext, time: number): boolean {
  const reach = reachAt(context, time) + SLACK;
  for (const { startTime } of context.analysis.sections) {
    if (startTime > 0 && Math.abs(startTime - time) <= reach) return true;
  }
  return false;
}

/**
 * The step of `step` beats that is nearest to `time` and inside the track, s; null without a grid.
 */
export function nearestStep({ analysis }: RuleContext, time: number, step: number): number | null {
  const { grid, duration } = analysis;
  if (!grid.segments.length) return null;
  const index = Math.round(beatAtTime(grid, time) / step);
  return (
    stepInside(grid, duration, index * step) ??
    stepInside(grid, duration, (index + 1) * step) ??
    stepInside(grid, duration, (index - 1) * step)
  );
}

/** Time of a beat that lies in the track, s; else null. */
function stepInside(grid: BeatGrid, duration: number, beat: number): number | null {
  const at = timeOfBeat(grid, beat);
  return at >= -SLACK && at <= duration + SLACK ? Math.min(Math.max(0, at), duration) : null;
}

/** The smallest slot of 1..`last` that no cue has, or null. */
export function freeSlotUpTo(markers: readonly Marker[], last: number): number | null {
  for (let slot = 1; slot <= last; slot++) {
    if (!markers.some((m) => m.kind === 'cue' && m.slot === slot)) return slot;
  }
  return null;
}

/**
 * A slot of 1..`last` for `cue`: a free one, else that of the least important cue there (of several the latest),
 * provided that it matters no more than `cue`; with `strict`, less. null: all of them matter more.
 */
export function slotFor(
  { markers, reachable }: RuleContext,
  cue: HotCue,
  last: number,
  strict = false,
): (Remedy & { action: 'take-slot' }) | null {
  const free = freeSlotUpTo(markers, last);
  if (free !== null) return { action: 'take-slot', slot: free };
  let least: HotCue | null = null;
  for (const other of reachable) {
    if (other.id === cue.id || other.slot === null || other.slot > last) continue;
    if (!least || other.importance <= least.importance) least = other;
  }
  if (!least || least.slot === null) return null;
  const fits = strict ? least.importance < cue.importance : least.importance <= cue.importance;
  return fits ? { action: 'take-slot', slot: least.slot } : null;
}

/** Whether the deck shows marks and one more would be among those that it shows. */
export function roomForMark({ profile, shownMarks }: RuleContext): boolean {
  return profile.marks.shown && shownMarks.size < profile.marks.limit;
}

/** A structure mark at the marker's place, where this deck shows marks and has none there and room for one. */
export function markInstead(context: RuleContext, marker: Marker): Remedy | null {
  if (!roomForMark(context) || context.marksByRank.some((mark) => standsAt(context, mark, marker.time))) {
    return null;
  }
  return { action: 'add-mark', time: marker.time, name: marker.name };
}

/** A hot cue at `time` in a free slot of this deck; null where it has none. */
export function cueInstead({ markers, profile }: RuleContext, time: number, name: string): Remedy | null {
  const slot = freeSlotUpTo(markers, profile.hotCues.slots);
  return slot === null ? null : { action: 'add-cue', time, name, slot };
}
