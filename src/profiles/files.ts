/** Profiles from files and to files. */
import { noProfileText } from '../../shared/profile/no-profile.ts';
import { MAX_PROFILE_CHARACTERS, readProfile } from '../../shared/profile/read.ts';
import type { ReadProfile } from '../../shared/profile/read.ts';
import type { ProfileFile } from '../../shared/profile/schema.ts';
import { writeProfile } from '../../shared/profile/write.ts';
import { download } from '../shell/download.ts';
import { profileWords } from './words.ts';

/** A character has at most four bytes in UTF-8; a larger file is not even read. */
const MAX_BYTES = 4 * MAX_PROFILE_CHARACTERS;

/** bytes of a larger one that are looked at */
const HEAD_BYTES = 4096;

/** Reads a file that a person chose; never throws. */
export async function loadProfile(file: File): Promise<ReadProfile> {
  try {
    if (file.size > MAX_BYTES) {
      // Its start tells what it is: a backup or a sound file is far larger than a profile.
      const other = noProfileText(await file.slice(0, HEAD_BYTES).text(), file.name);
      return {
        ok: false,
        problems: [other ? `${file.name}: ${other}.` : profileWords.tooBig(file.name)],
      };
    }
    return readProfile(await file.text(), file.name);
  } catch {
    return { ok: false, problems: [profileWords.unreadable(file.name)] };
  }
}

/** Lets the browser save the profile as `<id>.json`. */
export function downloadProfile(profile: ProfileFile): void {
  download(new Blob([writeProfile(profile)], { type: 'application/json' }), `${profile.id}.json`);
}
