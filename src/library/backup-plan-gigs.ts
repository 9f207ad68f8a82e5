/** What restoring a backup would do with booths and sets. */
import type { Booth, GigSet } from '../../shared/gig/types.ts';
import { sameValue } from './backup-format.ts';
import { ask, type ImportPlan } from './backup-items.ts';

/** @param booths, sets those that are here */
export function planGigs(plan: ImportPlan, booths: readonly Booth[], sets: readonly GigSet[]): void {
  const choices = ['mine', 'theirs', 'both'] as const;
  const myBooths = new Map(booths.map((booth) => [booth.id, booth]));
  for (const theirs of plan.backup.booths) {
    const mine = myBooths.get(theirs.id);
    const item = { store: 'booths', key: theirs.id, what: `booth “${theirs.name}”` } as const;
    if (!mine) {
      plan.added.push(item);
      plan.writes.push({ store: 'booths', key: theirs.id, base: mine, record: theirs });
    } else if (sameValue(mine, theirs)) plan.same.push(item);
    else ask(plan, { ...item, choices, sides: { store: 'booths', mine, theirs } });
  }
  const mySets = new Map(sets.map((set) => [set.id, set]));
  for (const theirs of plan.backup.sets) {
    const mine = mySets.get(theirs.id);
    const item = { store: 'sets', key: theirs.id, what: `set “${theirs.name}”` } as const;
    if (!mine) {
      plan.added.push(item);
      plan.writes.push({ store: 'sets', key: theirs.id, base: mine, record: theirs });
    } else if (sameValue(mine, theirs)) plan.same.push(item);
    else ask(plan, { ...item, choices, sides: { store: 'sets', mine, theirs } });
  }
}
