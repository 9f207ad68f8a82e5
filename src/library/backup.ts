/**
 * The whole library in one file, and back: tracks, corrections and markers with their history, own profiles,
 * settings, booths and sets, answers to drills and rounds of hand drills with their schedule, the open session; covers
 * and analyses on request; never the audio. Restoring merges: nothing that is here is lost unless
 * the person says so for it.
 */
export { BACKUP_VERSION, BackupFault, backupName } from './backup-format.ts';
export { writeBackup, type BackupOptions } from './backup-write.ts';
export { readBackup, type Backup } from './backup-read.ts';
export { planImport } from './backup-plan.ts';
export type { Choice, Conflict, ImportPlan, PlanItem } from './backup-items.ts';
export { carryOut, type Carried } from './backup-carry.ts';
