/** Where a press lands on a deck whose quantise cannot be set as fine as the marker stands. */
import type { RuleContext } from '../context.ts';
import { nearestStep } from './place.ts';
import { advice, rule, weakened } from './rule.ts';

/** Moved by less than this, a press is heard as if it had not been, s. Estimate. */
export const QUANTISE_TOLERANCE = 0.01;

/**
 * How far a press at `time` is moved with quantise on at the deck's finest step: landing place and shift, s; null
 * where the deck has no quantise, the track no grid, or nothing that is heard.
 */
export function landing(
  context: RuleContext,
  time: number,
): { time: number; shift: number; step: number } | null {
  const [step] = context.profile.quantise.steps;
  if (!step) return null;
  const at = nearestStep(context, time, step);
  if (at === null || Math.abs(at - time) < QUANTISE_TOLERANCE) return null;
  return { time: at, shift: at - time, step };
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
    const end = loop.beats === null ? landing(context, loop.endTime) : start;
    const step = start?.step ?? end?.step;
    if (step === undefined) return null;
    return weakened(
      { startShift: start?.shift ?? 0, endShift: end?.shift ?? 0, step },
      advice('quantise-off'),
      start && { action: 'move-to', time: start.time },
    );
  }),
];
