/** Profiles from files and to files. */
import { MAX_PROFILE_CHARACTERS, readProfile } from '../../shared/profile/read.ts';
import type { ReadProfile } from '../../shared/profile/read.ts';
import type { ProfileFile } from '../../shared/profile/schema.ts';
import { writeProfile } from '../../shared/profile/write.ts';
import { download } from '../shell/download.ts';
import { profileWords } from './words.ts';

/** A character has at most four bytes in UTF-8; a larger file is not even read. */
const MAX_BYTES = 4 * MAX_PROFILE_CHARACTERS;

/** Reads a file that a person chose; never throws. */
export async function loadProfile(file: File): Promise<ReadProfile> {
  if (file.size > MAX_BYTES) return { ok: false, problems: [profileWords.tooBig(file.name)] };
  try {
    return readProfile(await file.text(), file.name);
  } catch {
    return { ok: false, problems: [profileWords.unreadable(file.name)] };
  }
}

/** Lets the browser save the profile as `<id>.json`. */
export function downloadProfile(profile: ProfileFile): void {
  download(new Blob([writeProfile(profile)], { type: 'application/json' }), `${profile.id}.json`);
}
