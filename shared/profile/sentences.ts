/** Turns what the schema found into sentences that a person can act on. */
import type * as v from 'valibot';
import type { ProfileProblem } from './rules.ts';

/** Characters of a wrong value that are repeated in a sentence. */
const MAX_QUOTED = 40;

/** `['facts', 'hotCues', 'slots', 'value']` → `facts → hot cues → slots`; the root is `the file`. */
export function placeInWords(path: readonly string[]): string {
  const names = path[0] === 'facts' && path[3] === 'value' ? [...path.slice(0, 3), ...path.slice(4)] : path;
  if (!names.length) return 'the file';
  return names
    .map((name) => (/^\d+$/.test(name) ? `entry ${Number(name) + 1}` : shorten(spaced(name))))
    .join(' → ');
}

/** The whole sentence of a problem, with the file and the place. */
export function problemSentence(problem: ProfileProblem, fileName: string): string {
  return `${fileName}: ${placeInWords(problem.path)} ${problem.sentence}.`;
}

/** The schema's issues as problems, one for each place. */
export function problemsOf(issues: readonly v.BaseIssue<unknown>[]): ProfileProblem[] {
  const byPlace = new Map<string, ProfileProblem>();
  for (const issue of issues) {
    const problem = problemOf(issue);
    const place = JSON.stringify(problem.path);
    const first = byPlace.get(place);
    if (first) first.sentence += ` and ${expectation(issue).replace(/^it must (be )?/, '')}`;
    else byPlace.set(place, problem);
  }
  return [...byPlace.values()];
}

function problemOf(issue: v.BaseIssue<unknown>): ProfileProblem {
  const path = (issue.path ?? []).map((item) => String(item.key));
  // A strict object reports a missing and an unknown key at the key itself.
  const atKey = issue.type === 'strict_object' && issue.path?.at(-1)?.origin === 'key';
  if (atKey && issue.expected === 'never')
    return { path, sentence: 'is not known here; remove it or check its spelling' };
  if (atKey || (issue.path?.at(-1) && issue.received === 'undefined')) {
    return { path, sentence: 'is missing; it must be given' };
  }
  return { path, sentence: `is ${inWords(issue.input)}; ${expectation(issue)}` };
}

/** The end of the sentence: what would be right. */
function expectation(issue: v.BaseIssue<unknown>): string {
  const requirement = issue.requirement;
  switch (issue.type) {
    case 'integer':
      return 'it must be a whole number';
    case 'min_value':
      return `it must be at least ${String(requirement)}`;
    case 'max_value':
      return `it must be at most ${String(requirement)}`;
    case 'min_length':
      return issue.kind === 'validation' && typeof issue.input === 'string'
        ? 'it must not be empty'
        : `it needs at least ${String(requirement)} entry`;
    case 'max_length':
      return typeof issue.input === 'string'
        ? `it must have at most ${String(requirement)} characters`
        : `it must have at most ${String(requirement)} entries`;
    case 'regex':
      return `it must be ${issue.message}`;
    case 'picklist':
    case 'literal':
      return `it must be ${(issue.expected ?? '').replace(/^\(|\)$/g, '').replaceAll(' | ', ' or ')}`;
    case 'boolean':
      return 'it must be true or false';
    case 'number':
      return 'it must be a number';
    case 'string':
      return 'it must be a text in double quotes';
    case 'array':
      return 'it must be a list in square brackets';
    case 'strict_object':
      return 'it must be an object in braces';
    default:
      return `it must be ${issue.expected ?? 'something else'}`;
  }
}

/** A wrong value as it stands in the file, cut short. */
function inWords(input: unknown): string {
  if (Array.isArray(input)) return input.length ? `a list of ${input.length}` : 'an empty list';
  if (typeof input === 'string') return JSON.stringify(shorten(input));
  if (typeof input === 'object' && input !== null) return 'an object';
  if (input === undefined) return 'missing';
  return shorten(String(input));
}

/** Points, not code units, so that no character is torn. */
function shorten(text: string): string {
  const points = [...text.slice(0, MAX_QUOTED * 2 + 2)];
  return points.length > MAX_QUOTED ? `${points.slice(0, MAX_QUOTED).join('')}…` : text;
}

/** `titleCharacters` → `title characters`. */
function spaced(name: string): string {
  return name.replace(/([a-z])([A-Z])/g, (_, a: string, b: string) => `${a} ${b.toLowerCase()}`);
}
