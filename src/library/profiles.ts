/** The person's own deck profiles. */
import * as v from 'valibot';
import { checkProfile } from '../../shared/profile/read.ts';
import { type ProfileFile, ProfileFileSchema } from '../../shared/profile/schema.ts';
import type { LibraryDb } from './schema.ts';
import { SENTENCES } from './sentences.ts';

export interface OwnProfiles {
  profiles: ProfileFile[];
  /** One sentence per stored profile that no longer fits schema and rules; it stays stored. */
  problems: string[];
}

export async function readProfiles(db: LibraryDb): Promise<OwnProfiles> {
  const profiles: ProfileFile[] = [];
  const problems: string[] = [];
  for (const record of await db.getAll('profiles')) {
    const checked = checkProfile(record.file);
    if ('profile' in checked) profiles.push(checked.profile);
    else problems.push(SENTENCES.profileUnreadable(record.id));
  }
  return { profiles, problems };
}

/** Adds a profile or replaces the own one of the same id; throws a ValiError when it does not fit the schema. */
export async function saveProfile(db: LibraryDb, file: ProfileFile, now: number): Promise<ProfileFile> {
  const checked = v.parse(ProfileFileSchema, file);
  await db.put('profiles', { id: checked.id, file: checked, savedAt: now });
  return checked;
}

export async function deleteProfile(db: LibraryDb, id: string): Promise<void> {
  await db.delete('profiles', id);
}
