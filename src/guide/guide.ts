/** How any part of the page leads to the glossary. */
import { getContext, setContext } from 'svelte';

export interface Guide {
  /** Shows the term in Help. */
  openTerm(id: string): void;
}

const KEY = Symbol('guide');
export const setGuide = (guide: Guide): Guide => setContext(KEY, guide);
export const getGuide = (): Guide => getContext<Guide>(KEY);

/** Place of a term on the help page. */
export const termAnchor = (id: string) => `term-${id}`;
