/** Reading profiles that people wrote: never throws, and says of everything wrong what would be right. */
import * as v from 'valibot';
import { jsonFault } from './json-fault.ts';
import { noProfile, noProfileText } from './no-profile.ts';
import { inconsistencies } from './rules.ts';
import type { ProfileProblem } from './rules.ts';
import { ProfileFileSchema } from './schema.ts';
import type { ProfileFile } from './schema.ts';
import { problemSentence, problemsOf } from './sentences.ts';

/** A profile has some 10 000 characters; a file far beyond that is something else. */
export const MAX_PROFILE_CHARACTERS = 100_000;
/** Sentences given at once; the rest is counted. */
export const MAX_PROBLEMS = 20;

export type ReadProfile = { ok: true; profile: ProfileFile } | { ok: false; problems: string[] };

/**
 * Reads a profile from the text of its file, or from data that has been parsed already.
 * @param input text of a JSON file, or parsed data
 * @param fileName named in every sentence
 * @returns the profile, or one sentence for each thing that is wrong, or only one where it is no profile at all; never throws
 */
export function readProfile(input: unknown, fileName: string): ReadProfile {
  try {
    let data = input;
    if (typeof input === 'string') {
      const refused = refusedText(input, fileName);
      if (refused) return { ok: false, problems: [`${fileName}: ${refused}.`] };
      data = JSON.parse(withoutMark(input));
    }
    const other = noProfile(data);
    if (other) return { ok: false, problems: [`${fileName}: ${other}.`] };
    const checked = checkProfile(data);
    if ('profile' in checked) return { ok: true, profile: checked.profile };
    const { problems } = checked;
    const sentences = problems.slice(0, MAX_PROBLEMS).map((problem) => problemSentence(problem, fileName));
    const more = problems.length - sentences.length;
    if (more > 0) sentences.push(`${fileName}: ${more} more of the same kind; mend these first.`);
    return { ok: false, problems: sentences };
  } catch {
    // Data with getters that throw, or nested beyond the stack: nothing that a JSON file can hold.
    return { ok: false, problems: [`${fileName}: could not be read as a deck profile; load a JSON file.`] };
  }
}

/**
 * The same check with the place of each problem, for an editor that shows the sentence beside the field.
 * @returns the checked profile, or everything that is wrong with it
 */
export function checkProfile(data: unknown): { profile: ProfileFile } | { problems: ProfileProblem[] } {
  const parsed = v.safeParse(ProfileFileSchema, data);
  const problems = parsed.success ? inconsistencies(parsed.output) : problemsOf(parsed.issues);
  return parsed.success && !problems.length ? { profile: parsed.output } : { problems };
}

function refusedText(text: string, fileName: string): string | null {
  const other = noProfileText(withoutMark(text), fileName);
  if (other) return other;
  if (text.length > MAX_PROFILE_CHARACTERS) {
    return `has ${text.length} characters; a deck profile has at most ${MAX_PROFILE_CHARACTERS}, so this is another kind of file`;
  }
  if (!withoutMark(text).trim()) return 'is empty; it must hold a deck profile in JSON';
  const fault = jsonFault(withoutMark(text));
  if (!fault) return null;
  return `is not valid JSON at line ${fault.line}, column ${fault.column}: ${fault.found} stands there; it must be ${fault.expected}`;
}

/** Some editors put a byte-order mark in front, which JSON does not allow. */
function withoutMark(text: string): string {
  return text.startsWith('\uFEFF') ? text.slice(1) : text;
}
