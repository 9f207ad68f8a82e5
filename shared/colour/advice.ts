/** What to say to a person whose palette is hard to read. Advice, not an error: the palette is theirs. */
import type { Palette } from '../profile/schema.ts';
import { SIGHTS, colourDifference, contrast } from './colour.ts';
import type { Sight } from './colour.ts';
import { adviceWords } from './words.ts';

/** WCAG 2.2, 1.4.11 Non-text Contrast. */
export const MIN_CONTRAST = 3;
/** CIEDE2000 that two colours of one display should differ by for every kind of sight. Estimate. */
export const MIN_DIFFERENCE = 12;

type Role = keyof Palette;

/** Colours that must be told apart because they stand side by side in one kind of display. */
export const TOGETHER: readonly (readonly Role[])[] = [
  ['bass', 'middle', 'treble'],
  ['tintLow', 'tintMid', 'tintHigh'],
  ['singleDark', 'singleLight'],
];

export type PaletteAdvice =
  | { about: 'contrast'; role: Role; ratio: number }
  | { about: 'difference'; roles: [Role, Role]; sight: Sight; difference: number };

/** Colours too near to the background, and pairs too near to each other for some sight. */
export function paletteAdvice(palette: Palette): PaletteAdvice[] {
  const advice: PaletteAdvice[] = [];
  for (const role of Object.keys(palette) as Role[]) {
    const ratio = contrast(palette[role], palette.background);
    if (role !== 'background' && ratio < MIN_CONTRAST) advice.push({ about: 'contrast', role, ratio });
  }
  for (const roles of TOGETHER) {
    for (const [i, a] of roles.entries()) {
      for (const b of roles.slice(i + 1)) {
        // One sentence per pair: for the sight that tells the two apart least.
        const [sight, difference] = SIGHTS.map((each): [Sight, number] => [
          each,
          colourDifference(palette[a], palette[b], each),
        ]).reduce((least, each) => (each[1] < least[1] ? each : least));
        if (difference < MIN_DIFFERENCE)
          advice.push({ about: 'difference', roles: [a, b], sight, difference });
      }
    }
  }
  return advice;
}

/** One piece of advice as a sentence; `name` gives the label of a colour. */
export function adviceSentence(advice: PaletteAdvice, name: (role: Role) => string): string {
  return advice.about === 'contrast'
    ? adviceWords.contrast(name(advice.role), advice.ratio.toFixed(1), MIN_CONTRAST)
    : adviceWords.difference(name(advice.roles[0]), name(advice.roles[1]), adviceWords.sights[advice.sight]);
}
