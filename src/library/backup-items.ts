/** What a plan for restoring a backup is made of. */
import type { ByteStore, PlainStore } from './backup-format.ts';
import type { Backup } from './backup-read.ts';
import type { LibrarySchema } from './schema.ts';

export type Choice = 'mine' | 'theirs' | 'both';

export interface PlanItem {
  store: PlainStore | ByteStore;
  key: string;
  /** For people: `“Slow Ferry”`, `corrections and markers of “Slow Ferry”`. */
  what: string;
}

/** Stores in which both sides can have something different under one key. */
export const ASKED_STORES = ['edits', 'profiles', 'settings', 'booths', 'sets', 'cards', 'sessions'] as const;
export type AskedStore = (typeof ASKED_STORES)[number];

/** Something that both have, and have differently. */
export interface Conflict extends PlanItem {
  store: AskedStore;
  /** Names the conflict in the choices. */
  id: string;
  choices: readonly Choice[];
  /** Milliseconds since 1970; null: not known. */
  mineSavedAt: number | null;
  theirsSavedAt: number | null;
}

type RecordIn<S extends PlainStore> = LibrarySchema[S]['value'];

/**
 * A record to write; `base` is what stood there when the plan was made. Answers and rounds have no key: `key` is all
 * that they hold, and one that is there already is not written again.
 */
export type Write = {
  [S in PlainStore]: { store: S; key: string; base: RecordIn<S> | undefined; record: RecordIn<S> };
}[PlainStore];

/** Both sides of a conflict. */
export type Sides = {
  [S in AskedStore]: { store: S; mine: RecordIn<S>; theirs: RecordIn<S> };
}[AskedStore];

export interface ImportPlan {
  backup: Backup;
  /** Not here yet. */
  added: PlanItem[];
  /** Here in an earlier state that the backup continues; nothing is lost by taking its state. */
  continued: PlanItem[];
  /** Here already, as it is or further on. */
  same: PlanItem[];
  conflicts: Conflict[];
  /** What is written without asking. */
  writes: Write[];
  /** Both records of each conflict, by its id. */
  sides: Map<string, Sides>;
  covers: string[];
  analyses: string[];
}

/** Asks about something that both sides have differently. */
export function ask(
  plan: ImportPlan,
  { sides, ...item }: Omit<Conflict, 'id' | 'store' | 'mineSavedAt' | 'theirsSavedAt'> & { sides: Sides },
): void {
  const { store, mine, theirs } = sides;
  const id = `${store} ${item.key}`;
  const savedAt = (record: Sides['mine']) => ('savedAt' in record ? record.savedAt : null);
  plan.conflicts.push({
    ...item,
    ...{ store, id, mineSavedAt: savedAt(mine), theirsSavedAt: savedAt(theirs) },
  });
  plan.sides.set(id, sides);
}
