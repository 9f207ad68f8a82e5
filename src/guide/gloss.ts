/** Finds the glossary's terms in a text, and the terms that a search means. */
import { TERMS, type Term } from './terms.ts';

export interface GlossPart {
  text: string;
  /** Id of the term that it is. */
  term: string | null;
}

const byForm = new Map<string, string>();
for (const { id, name, also = [] } of TERMS) {
  for (const form of [name, ...also]) byForm.set(form.toLowerCase(), id);
}
// Longest first, so that “hot cue” is not taken for “cue”.
const forms = [...byForm.keys()].sort((a, b) => b.length - a.length);
const escaped = forms.map((form) => form.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'));
const FORMS = new RegExp(`(?<![\\p{L}\\p{N}-])(${escaped.join('|')})(?![\\p{L}\\p{N}-])`, 'giu');

/**
 * The text in parts, each term at its first place only.
 * @param but id of a term that is not linked: its own text
 */
export function gloss(text: string, but?: string): GlossPart[] {
  const parts: GlossPart[] = [];
  const met = new Set<string | undefined>([but]);
  let from = 0;
  for (const found of text.matchAll(FORMS)) {
    const term = byForm.get(found[0].toLowerCase())!;
    if (met.has(term)) continue;
    met.add(term);
    if (found.index > from) parts.push({ text: text.slice(from, found.index), term: null });
    parts.push({ text: found[0], term });
    from = found.index + found[0].length;
  }
  if (from < text.length) parts.push({ text: text.slice(from), term: null });
  return parts;
}

/** Without capitals and accents. */
const bare = (text: string) => text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();

/** Terms with all words of the search in them; those that have it in their name first. All of them for no search. */
export function searchTerms(search: string): Term[] {
  const wanted = bare(search).split(/\s+/).filter(Boolean);
  const has = (text: string) => wanted.every((word) => bare(text).includes(word));
  const inName = ({ name, also = [] }: Term) => has([name, ...also].join(' '));
  const anywhere = ({ name, also = [], plain }: Term) => has([name, ...also, plain].join(' '));
  return [...TERMS.filter(inName), ...TERMS.filter((term) => !inName(term) && anywhere(term))];
}
