/** A file that is no deck profile at all: one sentence that says so, in place of one for every field it lacks. */
import { formatOf } from '../exchange/formats.ts';
import { markersJson } from '../exchange/json/index.ts';
import { misplaced, ownFileIn, ownFileOf } from '../own-files.ts';
import { PROFILE_FORMAT, ProfileFileSchema } from './schema.ts';

const REMEDY = 'choose one that was saved in Decks with “Save to a file”';
const NONE = `is no deck profile: it lacks the facts of a deck; ${REMEDY}`;
const FIELDS = Object.keys(ProfileFileSchema.entries);
const GROUPS = Object.keys(ProfileFileSchema.entries.facts.entries);

const has = (data: object, names: readonly string[]): boolean =>
  2 * names.filter((name) => Object.hasOwn(data, name)).length > names.length;

/** Says that it is one, or has most of the fields of one: what is missing or wrong in it can be mended. */
function isMeant(data: object): boolean {
  const { format, facts } = data as { format?: unknown; facts?: unknown };
  if (format === PROFILE_FORMAT || has(data, FIELDS)) return true;
  return typeof facts === 'object' && facts !== null && has(facts, GROUPS);
}

/** Why parsed data is no profile at all, without the file and the full stop; null where it plainly is meant as one. */
export function noProfile(data: unknown): string | null {
  const own = ownFileOf(data);
  if (own && own.format !== PROFILE_FORMAT) return misplaced(own, 'deck profile');
  if (typeof data === 'object' && data !== null && isMeant(data)) return null;
  return NONE;
}

/**
 * The same for a text before it is parsed, or for the first of one that is too long to be a profile.
 * @returns null where it may be one: its JSON decides
 */
export function noProfileText(text: string, fileName: string): string | null {
  const own = ownFileIn(text);
  if (own) return own.format === PROFILE_FORMAT ? null : misplaced(own, 'deck profile');
  const start = text.trimStart();
  if (!start || /^[{[]/.test(start)) return null;
  if (text.includes('\0')) return `is no text, so it is no deck profile; ${REMEDY}`;
  if (start.startsWith('#EXTM3U')) {
    return 'is a playlist, no deck profile: Gig reads it with “Set from a playlist”';
  }
  const format = formatOf(text, fileName);
  if (!format || format === markersJson) return NONE;
  return `is no deck profile, it may be markers (${format.name}): open their track in Mark and read them there under “Save and read markers”`;
}
