/** A person's own copy of a profile. */
import type { ProfileFile } from './schema.ts';

const MAX_NAME = 40;
const MAX_ID = 60;

/**
 * A deep copy under an id that none of `existingIds` has, named "… (copy)", "… (copy 2)" and so on.
 */
export function duplicateProfile(file: ProfileFile, existingIds: Iterable<string>): ProfileFile {
  const taken = new Set(existingIds);
  const base = file.id.replace(/-copy(-\d+)?$/, '');
  const name = file.name.replace(/ \(copy( \d+)?\)$/, '');
  for (let number = 1; ; number++) {
    const end = number === 1 ? '-copy' : `-copy-${number}`;
    const id = `${base.slice(0, MAX_ID - end.length).replace(/-+$/, '')}${end}`;
    if (taken.has(id)) continue;
    const nameEnd = number === 1 ? ' (copy)' : ` (copy ${number})`;
    const shortName = [...name];
    while (shortName.join('').length + nameEnd.length > MAX_NAME) shortName.pop();
    return {
      ...(JSON.parse(JSON.stringify(file)) as ProfileFile),
      id,
      name: shortName.join('').trim() + nameEnd,
    };
  }
}
