/** The words of the advice on palettes, in one place and ready to translate. */
import type { Sight } from './colour.ts';

const sights: Record<Sight, string> = {
  typical: 'for any sight',
  protan: 'for a person who does not see red light (protan)',
  deutan: 'for a person who does not tell green from red (deutan)',
  tritan: 'for a person who does not tell blue from green (tritan)',
};

export const adviceWords = {
  sights,
  contrast: (name: string, ratio: string, least: number): string =>
    `“${name}” stands out from the background by only ${ratio}:1; ${least}:1 or more can be seen well.`,
  difference: (a: string, b: string, sight: string): string =>
    `“${a}” and “${b}” look nearly alike ${sight}; make one of them lighter or darker.`,
};
