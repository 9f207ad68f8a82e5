/** The profiles that ship with the app, richest first. */
import { readProfile } from '../../shared/profile/read.ts';
import type { ProfileFile } from '../../shared/profile/schema.ts';

const files = import.meta.glob('../../profiles/*.json', { eager: true, import: 'default' });

export const shippedProfiles: readonly ProfileFile[] = Object.entries(files)
  .map(([path, data]) => {
    const read = readProfile(data, path.split('/').pop() ?? path);
    if (!read.ok) throw new Error(read.problems.join('\n'));
    return read.profile;
  })
  .sort((a, b) => b.richness - a.richness);
