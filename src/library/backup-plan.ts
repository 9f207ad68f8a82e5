/** What restoring a backup would do, before anything is done. */
import { MAX_MARKERS } from '../../shared/markers/marker.ts';
import { ANALYSIS_VERSION } from '../../shared/analysis.ts';
import { sameValue } from './backup-format.ts';
import { continues, sameState, stateOf } from './backup-merge.ts';
import type { Backup } from './backup-read.ts';
import { titleOf } from './records.ts';
import type { EditRecord, ProfileRecord, SettingRecord, TrackRecord } from './records.ts';
import type { LibraryDb } from './schema.ts';

export type Choice = 'mine' | 'theirs' | 'both';

export interface PlanItem {
  store: 'tracks' | 'edits' | 'profiles' | 'settings' | 'covers' | 'analyses';
  key: string;
  /** For people: `“Slow Ferry”`, `corrections and markers of “Slow Ferry”`. */
  what: string;
}

/** Something that both have, and have differently. */
export interface Conflict extends PlanItem {
  store: 'edits' | 'profiles' | 'settings';
  /** Names the conflict in the choices. */
  id: string;
  choices: readonly Choice[];
  /** Milliseconds since 1970. */
  mineSavedAt: number;
  theirsSavedAt: number;
}

/** A record to write; `base` is what stood there when the plan was made. */
export type Write =
  | { store: 'tracks'; key: string; base: TrackRecord | undefined; record: TrackRecord }
  | { store: 'edits'; key: string; base: EditRecord | undefined; record: EditRecord }
  | { store: 'profiles'; key: string; base: ProfileRecord | undefined; record: ProfileRecord }
  | { store: 'settings'; key: string; base: SettingRecord | undefined; record: SettingRecord };

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
  sides: ReadonlyMap<string, { mine: Write['record']; theirs: Write['record'] }>;
  covers: string[];
  analyses: string[];
}

/** Settings that belong to this browser: what is here stays. */
const LOCAL_SETTINGS = new Set(['selected', 'demo', 'keepAudio']);
/** Settings that are tables, so that both can be kept. */
const TABLES = new Set(['palettes']);

const isTable = (value: unknown) => typeof value === 'object' && value !== null && !Array.isArray(value);

/** @returns the plan; nothing is written */
export async function planImport(db: LibraryDb, backup: Backup): Promise<ImportPlan> {
  const transaction = db.transaction(['tracks', 'edits', 'profiles', 'settings', 'covers', 'analyses']);
  const [tracks, edits, profiles, settings, covers, analyses] = await Promise.all([
    transaction.objectStore('tracks').getAll(),
    transaction.objectStore('edits').getAll(),
    transaction.objectStore('profiles').getAll(),
    transaction.objectStore('settings').getAll(),
    transaction.objectStore('covers').getAllKeys(),
    transaction.objectStore('analyses').index('version').getAllKeys(ANALYSIS_VERSION),
    transaction.done,
  ]);
  const sides = new Map<string, { mine: Write['record']; theirs: Write['record'] }>();
  const plan: ImportPlan = {
    backup,
    added: [],
    continued: [],
    same: [],
    conflicts: [],
    writes: [],
    sides,
    covers: [],
    analyses: [],
  };
  const byId = <T extends { id: string }>(list: readonly T[]) => new Map(list.map((x) => [x.id, x]));
  const titles = new Map([...backup.tracks, ...tracks].map((t) => [t.id, `“${titleOf(t)}”`]));
  const conflict = (
    item: Omit<Conflict, 'id' | 'mineSavedAt' | 'theirsSavedAt'>,
    mine: EditRecord | ProfileRecord | SettingRecord,
    theirs: EditRecord | ProfileRecord | SettingRecord,
  ) => {
    const id = `${item.store} ${item.key}`;
    plan.conflicts.push({ ...item, id, mineSavedAt: mine.savedAt, theirsSavedAt: theirs.savedAt });
    sides.set(id, { mine, theirs });
  };

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
      conflict({ ...item, choices }, mine, theirs);
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
    else conflict({ ...item, choices: ['mine', 'theirs', 'both'] }, mine, theirs);
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
      const both = TABLES.has(key) && isTable(mine.value) && isTable(theirs.value);
      conflict({ ...item, choices: both ? ['mine', 'theirs', 'both'] : ['mine', 'theirs'] }, mine, theirs);
    }
  }

  const [haveCover, haveAnalysis] = [new Set(covers), new Set(analyses)];
  plan.covers = [...backup.covers].filter((id) => theirTracks.has(id) && !haveCover.has(id));
  plan.analyses = [...backup.analyses].filter((id) => theirTracks.has(id) && !haveAnalysis.has(id));
  const bytes = (store: 'covers' | 'analyses', what: string) => (id: string) =>
    plan.added.push({ store, key: id, what: `${what} of ${titles.get(id)!}` });
  plan.covers.forEach(bytes('covers', 'cover'));
  plan.analyses.forEach(bytes('analyses', 'analysis'));
  return plan;
}
