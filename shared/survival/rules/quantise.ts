/** Where a press lands on a deck whose quantise cannot be set as fine as the marker stands. */
import type { Loop } from '../../markers/marker.ts';
import type { RuleContext } from '../context.ts';
import { nearestStep } from './place.ts';
import { advice, rule, weakened } from './rule.ts';

/** Moved by less than this, a press is heard as if it had not been, s. Estimate. */
export const QUANTISE_TOLERANCE = 0.01;

/** Where a press lands, how far that is from where it was made, s, and the step in beats that moves it. */
export interface Landing {
  time: number;
  shift: number;
  step: number;
}

/**
 * How far a press at `time` is moved with quantise on at the deck's finest step: landing place and shift, s; null
 * where the deck has no quantise, the track no grid, or nothing that is heard.
 */
export function landing(context: RuleContext, time: number): Landing | null {
  const [step] = context.profile.quantise.steps;
  if (!step) return null;
  const at = nearestStep(context, time, step);
  if (at === null || Math.abs(at - time) < QUANTISE_TOLERANCE) return null;
  return { time: at, shift: at - time, step };
}

/** Where the end of a loop set by hand lands: at least one step after its start. */
function endLanding(context: RuleContext, { endTime }: Loop, startsAt: number): Landing | null {
  const to = landing(context, endTime);
  const [step] = context.profile.quantise.steps;
  const beat = context.beatSeconds(startsAt);
  if (!step || !beat || (to?.time ?? endTime) - startsAt > (step * beat) / 2) return to;
  const time = startsAt + step * beat;
  return { time, shift: time - endTime, step };
}

export const quantiseRules = [
  rule('quantise-moves-cue', ['cue'], (cue, context) => {
    const to = context.reachable.includes(cue) ? landing(context, cue.time) : null;
    if (!to) return null;
    return weakened(
      { shift: to.shift, step: to.step, beats: to.shift / (context.beatSeconds(cue.time) ?? 1) },
      advice('quantise-off'),
      { action: 'move-to', time: to.time },
    );
  }),
  rule('quantise-moves-loop', ['loop'], (loop, context) => {
    const start = landing(context, loop.time);
    // A length in beats is kept: its end moves with its start. An end set by hand lands on its own.
    const end = loop.beats === null ? endLanding(context, loop, start?.time ?? loop.time) : start;
    const step = start?.step ?? end?.step;
    if (step === undefined) return null;
    return weakened(
      { startShift: start?.shift ?? 0, endShift: end?.shift ?? 0, step },
      advice('quantise-off'),
      start && { action: 'move-to', time: start.time },
    );
  }),
];
