/** What restoring a backup would do, before anything is done. */
import { MAX_MARKERS } from '../../shared/markers/marker.ts';
import { ANALYSIS_VERSION } from '../../shared/analysis.ts';
import { sameValue } from './backup-format.ts';
import { continues, sameState, stateOf } from './backup-merge.ts';
import type { Backup } from './backup-read.ts';
import { titleOf } from './records.ts';
import type { LibraryDb } from './schema.ts';
import { ask, type ImportPlan, type PlanItem } from './backup-items.ts';
import { planGigs } from './backup-plan-gigs.ts';
import { planTraining } from './backup-plan-training.ts';

/** Settings that belong to this browser: what is here stays. */
const LOCAL_SETTINGS = new Set(['selected', 'demo', 'keepAudio']);
/** Settings that are tables, so that both can be kept. */
const TABLES = new Set(['palettes']);

/** Settings that are lists of things made, each with an id. */
const LISTS = new Set(['performances']);

const isTable = (value: unknown) => typeof value === 'object' && value !== null && !Array.isArray(value);

/** @returns the plan; nothing is written */
export async function planImport(db: LibraryDb, backup: Backup): Promise<ImportPlan> {
  const transaction = db.transaction([
    ...(['tracks', 'edits', 'profiles', 'settings', 'covers', 'analyses'] as const),
    ...(['booths', 'sets', 'answers', 'hands', 'cards', 'sessions'] as const),
  ]);
  const [tracks, edits, profiles, settings, covers, analyses, booths, sets, ...training] = await Promise.all([
    transaction.objectStore('tracks').getAll(),
    transaction.objectStore('edits').getAll(),
    transaction.objectStore('profiles').getAll(),
    transaction.objectStore('settings').getAll(),
    transaction.objectStore('covers').getAllKeys(),
    transaction.objectStore('analyses').index('version').getAllKeys(ANALYSIS_VERSION),
    transaction.objectStore('booths').getAll(),
    transaction.objectStore('sets').getAll(),
    transaction.objectStore('answers').getAll(),
    transaction.objectStore('hands').getAll(),
    transaction.objectStore('cards').getAll(),
    transaction.objectStore('sessions').getAll(),
    transaction.done,
  ]);
  const plan: ImportPlan = {
    backup,
    added: [],
    continued: [],
    same: [],
    conflicts: [],
    writes: [],
    sides: new Map(),
    covers: [],
    analyses: [],
  };
  const byId = <T extends { id: string }>(list: readonly T[]) => new Map(list.map((x) => [x.id, x]));
  const titles = new Map([...backup.tracks, ...tracks].map((t) => [t.id, `“${titleOf(t)}”`]));
  const myTracks = byId(tracks);
  for (const theirs of backup.tracks) {
    const mine = myTracks.get(theirs.id);
    const item: PlanItem = { store: 'tracks', key: theirs.id, what: titles.get(theirs.id)! };
    if (!mine || mine.removedAt !== null) {
      plan.added.push(item);
      const record = { ...(mine ?? theirs), removedAt: null };
      plan.writes.push({ store: 'tracks', key: theirs.id, base: mine, record });
    } else if (mine.secondOpinion === null && theirs.secondOpinion) {
      plan.continued.push(item);
      const record = { ...mine, secondOpinion: theirs.secondOpinion };
      plan.writes.push({ store: 'tracks', key: theirs.id, base: mine, record });
    } else plan.same.push(item);
  }

  const theirTracks = new Set(backup.tracks.map((t) => t.id));
  const myEdits = byId(edits);
  for (const theirs of backup.edits) {
    if (!theirTracks.has(theirs.id)) continue;
    const mine = myEdits.get(theirs.id);
    const what = `corrections and markers of ${titles.get(theirs.id)!}`;
    const item = { store: 'edits', key: theirs.id, what } as const;
    if (!mine) {
      plan.added.push(item);
      plan.writes.push({ store: 'edits', key: theirs.id, base: mine, record: theirs });
    } else if (continues(mine, theirs) || sameState(stateOf(mine), stateOf(theirs))) plan.same.push(item);
    else if (continues(theirs, mine)) {
      plan.continued.push(item);
      plan.writes.push({ store: 'edits', key: theirs.id, base: mine, record: theirs });
    } else {
      const many = (mine.markers?.length ?? 0) + (theirs.markers?.length ?? 0) > MAX_MARKERS;
      const choices = many ? (['mine', 'theirs'] as const) : (['mine', 'theirs', 'both'] as const);
      ask(plan, { ...item, choices, sides: { store: 'edits', mine, theirs } });
    }
  }

  const myProfiles = byId(profiles);
  for (const theirs of backup.profiles) {
    const mine = myProfiles.get(theirs.id);
    const item = { store: 'profiles', key: theirs.id, what: `deck profile “${theirs.file.name}”` } as const;
    if (!mine) {
      plan.added.push(item);
      plan.writes.push({ store: 'profiles', key: theirs.id, base: mine, record: theirs });
    } else if (sameValue(mine.file, theirs.file)) plan.same.push(item);
    else
      ask(plan, { ...item, choices: ['mine', 'theirs', 'both'], sides: { store: 'profiles', mine, theirs } });
  }

  const mySettings = new Map(settings.map((s) => [s.key, s]));
  for (const theirs of backup.settings) {
    const { key } = theirs;
    const mine = mySettings.get(key);
    const item = { store: 'settings', key, what: `setting “${key}”` } as const;
    if (!mine) {
      plan.added.push(item);
      plan.writes.push({ store: 'settings', key, base: mine, record: theirs });
    } else if (LOCAL_SETTINGS.has(key) || sameValue(mine.value, theirs.value)) plan.same.push(item);
    else {
      const both =
        (TABLES.has(key) && isTable(mine.value) && isTable(theirs.value)) ||
        (LISTS.has(key) && Array.isArray(mine.value) && Array.isArray(theirs.value));
      const choices = both ? (['mine', 'theirs', 'both'] as const) : (['mine', 'theirs'] as const);
      ask(plan, { ...item, choices, sides: { store: 'settings', mine, theirs } });
    }
  }

  planGigs(plan, booths, sets);
  const [answers, hands, cards, sessions] = training;
  planTraining(plan, { answers, hands, cards, sessions });

  const [haveCover, haveAnalysis] = [new Set(covers), new Set(analyses)];
  plan.covers = [...backup.covers].filter((id) => theirTracks.has(id) && !haveCover.has(id));
  plan.analyses = [...backup.analyses].filter((id) => theirTracks.has(id) && !haveAnalysis.has(id));
  const bytes = (store: 'covers' | 'analyses', what: string) => (id: string) =>
    plan.added.push({ store, key: id, what: `${what} of ${titles.get(id)!}` });
  plan.covers.forEach(bytes('covers', 'cover'));
  plan.analyses.forEach(bytes('analyses', 'analysis'));
  return plan;
}
