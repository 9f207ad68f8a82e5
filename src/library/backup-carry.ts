/** Carries out what was planned: all of it, or nothing. */
import { decodeAnalysis } from '../../shared/analysis-codec.ts';
import { BackupFault, bytesOfBase64, sameValue } from './backup-format.ts';
import { bothOf, bothSettings, renamedProfile, theirsOverMine } from './backup-merge.ts';
import type { Choice, Conflict, ImportPlan, Write } from './backup-plan.ts';
import type { CoverRecord, EditRecord, ProfileRecord, SettingRecord } from './records.ts';
import type { LibraryDb } from './schema.ts';
import { nextOrder } from './tracks.ts';
import { writing, type Writing } from './transaction.ts';

const STORES = ['tracks', 'edits', 'profiles', 'settings', 'covers'] as const;

export interface Carried {
  /** Records that were written. */
  written: number;
  /** What could not be restored although the rest was: plain sentences. */
  notes: string[];
}

/** The record that a choice leads to, or null where mine stays as it is. */
function resolved(
  { store, key }: Conflict,
  choice: Choice,
  sides: { mine: Write['record']; theirs: Write['record'] },
  taken: Set<string>,
  now: number,
): Write | null {
  if (choice === 'mine') return null;
  if (store === 'edits') {
    const [mine, theirs] = [sides.mine, sides.theirs] as [EditRecord, EditRecord];
    const record = choice === 'theirs' ? theirsOverMine(mine, theirs, now) : bothOf(mine, theirs, now);
    return { store, key, base: mine, record };
  }
  if (store === 'profiles') {
    const [mine, theirs] = [sides.mine, sides.theirs] as [ProfileRecord, ProfileRecord];
    if (choice === 'theirs') return { store, key, base: mine, record: { ...theirs, savedAt: now } };
    const record = renamedProfile(theirs, taken, now);
    taken.add(record.id);
    return { store, key: record.id, base: undefined, record };
  }
  const [mine, theirs] = [sides.mine, sides.theirs] as [SettingRecord, SettingRecord];
  const record = choice === 'theirs' ? { ...theirs, savedAt: now } : bothSettings(mine, theirs, now);
  return { store, key, base: mine, record };
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
    const profiles = transaction.objectStore('profiles');
    const taken = new Set([...(await profiles.getAllKeys()), ...backup.profiles.map((p) => p.id)]);
    const fromChoices = chosen.flatMap(
      ({ conflict, choice }) => resolved(conflict, choice, plan.sides.get(conflict.id)!, taken, now) ?? [],
    );
    const writes = [...plan.writes, ...fromChoices];
    let order = nextOrder(await transaction.objectStore('tracks').getAll());
    for (const write of writes) {
      await checkBase(transaction, write, backup.fileName);
      // A new track goes to the end of the list; one that is here keeps its place.
      if (write.store === 'tracks') {
        const record = write.base ? write.record : { ...write.record, order: order++ };
        await transaction.objectStore('tracks').put(record);
      } else if (write.store === 'edits') await transaction.objectStore('edits').put(write.record);
      else if (write.store === 'profiles') await profiles.put(write.record);
      else await transaction.objectStore('settings').put(write.record);
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

async function checkBase(transaction: Writing<typeof STORES>, write: Write, name: string): Promise<void> {
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
      await db.put('analyses', { id, version: analysis.version, analysis, analysedAt });
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
