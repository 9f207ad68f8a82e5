/** Carries out what was planned: all of it, or nothing. */
import { decodeAnalysis } from '../../shared/analysis-codec.ts';
import { BackupFault, bytesOfBase64, identityOf, PLAIN_STORES, sameValue } from './backup-format.ts';
import { bothOf, bothSettings, renamedGig, renamedProfile, theirsOverMine, withIds } from './backup-merge.ts';
import type { Choice, Conflict, ImportPlan, Sides, Write } from './backup-items.ts';
import type { CoverRecord } from './records.ts';
import type { LibraryDb } from './schema.ts';
import { analysisRecord, nextOrder } from './tracks.ts';
import { writing, type Writing } from './transaction.ts';

const STORES = [...PLAIN_STORES, 'covers'] as const;

export interface Carried {
  /** Records that were written. */
  written: number;
  /** What could not be restored although the rest was: plain sentences. */
  notes: string[];
}

/** Ids that are in use, by store, and those that the backup's records got here because of it. */
interface Names {
  taken: Record<'profiles' | 'booths' | 'sets', Set<string>>;
  renamed: Map<string, string>;
}

/** The record that a choice leads to, or null where mine stays as it is. */
function resolved({ key }: Conflict, choice: Choice, sides: Sides, names: Names, now: number): Write | null {
  if (choice === 'mine') return null;
  const both = choice === 'both';
  const named = <T extends { id: string }>(store: keyof Names['taken'], record: T): T => {
    names.taken[store].add(record.id);
    names.renamed.set(`${store} ${key}`, record.id);
    return record;
  };
  switch (sides.store) {
    case 'edits': {
      const { store, mine, theirs } = sides;
      const record = both ? bothOf(mine, theirs, now) : theirsOverMine(mine, theirs, now);
      return { store, key, base: mine, record };
    }
    case 'profiles': {
      const { store, mine, theirs } = sides;
      if (!both) return { store, key, base: mine, record: { ...theirs, savedAt: now } };
      const record = named(store, renamedProfile(theirs, names.taken[store], now));
      return { store, key: record.id, base: undefined, record };
    }
    case 'booths': {
      const { store, mine, theirs } = sides;
      if (!both) return { store, key, base: mine, record: theirs };
      const record = named(store, renamedGig(theirs, names.taken[store]));
      return { store, key: record.id, base: undefined, record };
    }
    case 'sets': {
      const { store, mine, theirs } = sides;
      if (!both) return { store, key, base: mine, record: theirs };
      const record = named(store, renamedGig(theirs, names.taken[store]));
      return { store, key: record.id, base: undefined, record };
    }
    case 'settings': {
      const { store, mine, theirs } = sides;
      const record = both ? bothSettings(mine, theirs, now) : { ...theirs, savedAt: now };
      return { store, key, base: mine, record };
    }
    case 'cards':
      return { store: sides.store, key, base: sides.mine, record: sides.theirs };
    case 'sessions':
      return { store: sides.store, key, base: sides.mine, record: sides.theirs };
  }
}

/** Booths of the backup speak of its decks, sets of its booths: by the ids that those have here. */
function pointed(write: Write, { renamed }: Names): Write {
  const idsOf = (store: 'profiles' | 'booths') =>
    new Map(
      [...renamed].flatMap(([name, id]) =>
        name.startsWith(`${store} `) ? [[name.slice(store.length + 1), id] as const] : [],
      ),
    );
  if (write.store === 'booths') return { ...write, record: withIds(write.record, idsOf('profiles')) };
  if (write.store === 'sets') return { ...write, record: withIds(write.record, idsOf('booths')) };
  return write;
}

/**
 * Writes what `plan` adds and continues, and for each conflict what was chosen, in one transaction. Analyses, which
 * can always be made again, follow one by one.
 * @param choices for every conflict of the plan, by its id
 * @throws BackupFault when a choice is missing or the library has changed since the plan was made; then, as after any
 *   error of the database, nothing is written
 */
export async function carryOut(
  db: LibraryDb,
  plan: ImportPlan,
  choices: ReadonlyMap<string, Choice>,
  now: number,
): Promise<Carried> {
  const { backup } = plan;
  const chosen = plan.conflicts.map((conflict) => {
    const choice = choices.get(conflict.id);
    if (choice && conflict.choices.includes(choice)) return { conflict, choice };
    throw new BackupFault(`Nothing was restored: choose first what becomes of the ${conflict.what}.`);
  });
  // Read before the transaction begins: it would end while the file is read.
  const covers = (await Promise.all(plan.covers.map((id) => coverOf(plan, id)))).filter((c) => c !== null);

  const written = await writing(db, STORES, async (transaction) => {
    const idsIn = async (store: 'profiles' | 'booths' | 'sets') =>
      new Set([...(await transaction.objectStore(store).getAllKeys()), ...backup[store].map(({ id }) => id)]);
    const names: Names = {
      taken: { profiles: await idsIn('profiles'), booths: await idsIn('booths'), sets: await idsIn('sets') },
      renamed: new Map(),
    };
    const fromChoices = chosen.flatMap(
      ({ conflict, choice }) => resolved(conflict, choice, plan.sides.get(conflict.id)!, names, now) ?? [],
    );
    const writes = [...plan.writes, ...fromChoices].map((write) => pointed(write, names));
    let order = nextOrder(await transaction.objectStore('tracks').getAll());
    const known = new Set(
      [
        ...(await transaction.objectStore('answers').getAll()),
        ...(await transaction.objectStore('hands').getAll()),
      ].map(identityOf),
    );
    for (const write of writes) {
      if (write.store === 'answers' || write.store === 'hands') {
        // Another tab may have brought it in meanwhile.
        if (known.has(write.key)) continue;
        if (write.store === 'answers') await transaction.objectStore('answers').add(write.record);
        else await transaction.objectStore('hands').add(write.record);
        continue;
      }
      await checkBase(transaction, write, backup.fileName);
      // A new track goes to the end of the list; one that is here keeps its place.
      if (write.store === 'tracks') {
        const record = write.base ? write.record : { ...write.record, order: order++ };
        await transaction.objectStore('tracks').put(record);
      } else await put(transaction, write);
    }
    for (const cover of covers) await transaction.objectStore('covers').put(cover);
    return writes.length + covers.length;
  });
  const { restored, notes } = await restoreAnalyses(db, plan);
  const lost = plan.covers.length - covers.length;
  if (lost)
    notes.push(
      `${lost} of ${plan.covers.length} cover pictures could not be read; everything else of the tracks is here.`,
    );
  return { written: written + restored, notes };
}

type Keyed = Exclude<Write, { store: 'answers' | 'hands' }>;

/** The store and the record belong together, which the compiler cannot follow through a union. */
const put = (transaction: Writing<typeof STORES>, { store, record }: Keyed): Promise<unknown> =>
  (transaction.objectStore(store) as unknown as { put(value: unknown): Promise<unknown> }).put(record);

async function checkBase(transaction: Writing<typeof STORES>, write: Keyed, name: string): Promise<void> {
  const now = await transaction.objectStore(write.store).get(write.key);
  if (sameValue(now, write.base)) return;
  throw new BackupFault(
    `Nothing was restored: the library has changed since “${name}” was compared with it. Compare again.`,
  );
}

/** Null when its bytes cannot be read: a picture is no reason to lose the rest. */
async function coverOf({ backup }: ImportPlan, id: string): Promise<CoverRecord | null> {
  try {
    const { base64, type } = await backup.line('covers', id);
    return { id, cover: new Blob([bytesOfBase64(base64)], { type: typeof type === 'string' ? type : '' }) };
  } catch {
    return null;
  }
}

async function restoreAnalyses(
  db: LibraryDb,
  { backup, analyses }: ImportPlan,
): Promise<{ restored: number; notes: string[] }> {
  let restored = 0;
  for (const id of analyses) {
    try {
      const { base64, analysedAt = backup.writtenAt } = await backup.line('analyses', id);
      const analysis = decodeAnalysis(bytesOfBase64(base64));
      await db.put('analyses', await analysisRecord(id, analysis, analysedAt));
      restored++;
    } catch {
      // Of another version, or there is no room left: told below.
    }
  }
  const lost = analyses.length - restored;
  const note =
    `${lost} of ${analyses.length} pictures of tracks could not be restored (another version, or no room left): ` +
    'give the files again and they are made anew.';
  return { restored, notes: lost > 0 ? [note] : [] };
}
