/** How a round went, beside the best there is on that deck. */
import { judge, type RecordedPress, type Solution } from '../../../shared/behaviour/drills/drills.ts';
import type { AnyMachine, DrillId } from '../../../shared/behaviour/drills/machine.ts';
import type { HandResult } from '../../../shared/drills/types.ts';
import type { DeckProfile } from '../../../shared/profile/schema.ts';

/** True when time alone decides something: the moment of the first press, a deadline, or a silence that goes on. */
export function runsFromStart(machine: AnyMachine, best: Solution): boolean {
  const MUCH_LATER = 60;
  const later = machine.passTo(machine.start, MUCH_LATER);
  return (
    best.sequence[0]?.kind === 'wait' ||
    machine.failed(later) ||
    machine.error(later) !== machine.error(machine.start)
  );
}

/**
 * Least time from the clock's start to the goal, s. The search counts the hand's way after the last press too; the
 * clock stops at the goal.
 */
export function leastOnClock(machine: AnyMachine, { sequence, leastSeconds }: Solution): number {
  const last = sequence[sequence.length - 1];
  return last && last.kind !== 'wait' ? leastSeconds - machine.hand(last) : leastSeconds;
}

/**
 * @param recorded presses in order of time
 * @param ended why the round is over; null: the goal was reached
 * @throws Error where the drill is none on that deck
 */
export function scored(
  about: { drill: DrillId; profile: DeckProfile; machine: AnyMachine },
  recorded: readonly RecordedPress[],
  ended: HandResult['ended'],
): HandResult {
  const { drill, profile, machine } = about;
  const judged = judge(drill, profile, recorded);
  if (judged.outcome !== 'judged') throw new Error(`"${drill}" is no drill on ${profile.id}.`);
  return {
    deckId: profile.id,
    drill,
    done: ended === null,
    ended,
    presses: judged.presses,
    fewest: judged.best.presses,
    seconds: judged.seconds,
    leastSeconds: leastOnClock(machine, judged.best),
    errorMs: judged.errorMs,
    bestErrorMs: judged.best.errorMs,
  };
}
