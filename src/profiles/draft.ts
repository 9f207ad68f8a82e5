/**
 * A profile while it is edited: plain data that may be wrong for the moment. Nothing here knows the page, so that
 * the tests run it under Node.
 */
import { duplicateProfile } from '../../shared/profile/duplicate.ts';
import type { FactField, FactGroup } from '../../shared/profile/facts.ts';
import { checkProfile } from '../../shared/profile/read.ts';
import type { ProfileProblem } from '../../shared/profile/rules.ts';
import type { ProfileFile, Provenance } from '../../shared/profile/schema.ts';
import { placeInWords } from '../../shared/profile/sentences.ts';
import { choiceWords, factWords, paletteWords } from '../../shared/profile/words.ts';
import { profileWords } from './words.ts';

/** A fact whose value need not fit yet. */
export interface DraftFact {
  value: unknown;
  from: Provenance;
  note?: string;
}

/** A profile file whose values need not fit yet. */
export type Draft = Omit<ProfileFile, 'facts' | 'richness'> & {
  facts: Record<FactGroup, Record<string, DraftFact>>;
  richness: unknown;
};

/** A deep copy to be edited. */
export function draftOf(file: ProfileFile): Draft {
  return JSON.parse(JSON.stringify(file)) as Draft;
}

/** What is wrong with a draft, by field. */
export interface DraftProblems {
  all: ProfileProblem[];
  /** Problems of the field whose path begins with these keys. */
  at(...path: string[]): ProfileProblem[];
}

/** Checks a draft as a file would be checked. @returns the profile to save where nothing is wrong */
export function checkDraft(draft: Draft): { profile: ProfileFile | null; problems: DraftProblems } {
  const checked = checkProfile(withoutEmptyNotes(draft));
  const all = 'problems' in checked ? checked.problems : [];
  const at = (...path: string[]) => all.filter((p) => path.every((key, i) => p.path[i] === key));
  return { profile: 'profile' in checked ? checked.profile : null, problems: { all, at } };
}

function withoutEmptyNotes(draft: Draft): Draft {
  const facts = Object.entries(draft.facts).map(([group, values]) => [
    group,
    Object.fromEntries(
      Object.entries(values).map(([name, { note, ...fact }]) => [
        name,
        note?.trim() ? { ...fact, note } : fact,
      ]),
    ),
  ]);
  return { ...draft, facts: Object.fromEntries(facts) as Draft['facts'] };
}

/** `4, 8; 16` → [4, 8, 16]. What is no number stays a text, so that the sentence can name it. */
export function readNumbers(text: string): (number | string)[] {
  return text
    .split(/[,;\s]+/)
    .filter(Boolean)
    .map((part) => (/^[+-]?(\d+\.?\d*|\.\d+)$/.test(part) ? Number(part) : part));
}

export function writeNumbers(values: unknown): string {
  return Array.isArray(values) ? values.join(', ') : '';
}

/** Puts a choice in at the end, or takes it out; the order of the others stays. */
export function toggled(values: unknown, choice: string, on: boolean): string[] {
  const others = chosen(values).filter((value) => value !== choice);
  return on ? [...others, choice] : others;
}

/** Moves a choice one place forward. */
export function moved(values: unknown, choice: string): string[] {
  const list = chosen(values);
  const at = list.indexOf(choice);
  return at > 0 ? list.toSpliced(at, 1).toSpliced(at - 1, 0, choice) : list;
}

export function chosen(values: unknown): string[] {
  return Array.isArray(values) ? values.map(String) : [];
}

export function choiceLabel(choice: string): string {
  return (choiceWords as Record<string, string>)[choice] ?? choice;
}

export function factLabel(field: Pick<FactField, 'group' | 'name'>): string {
  return (factWords[field.group].facts as Record<string, string>)[field.name];
}

/** Where a problem is, by the labels that the editor shows: `Hot cues, Slots`. */
export function placeLabel(path: readonly string[]): string {
  const [area, group, name] = path;
  if (area === 'facts' && group in factWords && path.length > 2) {
    const label = factLabel({ group: group as FactGroup, name });
    const entry = path[4] === undefined ? '' : ` → ${placeInWords([path[4]])}`;
    return `${factWords[group as FactGroup].title}, ${label}${entry}`;
  }
  if (area === 'palette' && group in paletteWords) {
    return `${profileWords.colours}, ${paletteWords[group as keyof typeof paletteWords]}`;
  }
  if (area === 'name' || area === 'era' || area === 'description' || area === 'richness')
    return profileWords[area];
  return placeInWords(path);
}

/** A fact's value in words, for reading. */
export function valueInWords(value: unknown): string {
  if (typeof value === 'boolean') return value ? profileWords.yes : profileWords.no;
  if (Array.isArray(value)) return value.map(valueInWords).join(', ') || profileWords.nothing;
  return typeof value === 'string' ? choiceLabel(value) : String(value);
}

/** A loaded profile under an id that is free: its own, or that of a copy. */
export function withFreeId(file: ProfileFile, taken: readonly string[]): ProfileFile {
  return taken.includes(file.id) ? duplicateProfile(file, taken) : file;
}
