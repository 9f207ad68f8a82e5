/** Sentences put together from what is known. */
import type { EditedSection } from '../../shared/sections/edit.ts';
import { clock } from '../ladder/view.ts';
import { words } from './words.ts';

const percent = (share: number) => Math.round(share * 100);

/** One section in words: where, how sharp its boundary is and why, how loud. */
export function aboutSection(section: EditedSection): string {
  const { label, startTime, endTime, strength, why, energy, byHand } = section;
  return [
    `${words.sectionAbout(label, clock(startTime), clock(endTime))}.`,
    `${words.energy(percent(energy))}.`,
    byHand ? `${words.setByHand}.` : startTime > 0 ? `${words.strength(percent(strength))}: ${why}` : why,
  ].join(' ');
}

/** Where the sound rises against the grid's line, s. */
export function riseWords(offset: number): string {
  const value = Math.abs(offset * 1000).toFixed(1);
  if (Number(value) < 0.5) return words.closeRise(words.onTheLine);
  return words.closeRise(offset > 0 ? words.afterLine(value) : words.beforeLine(value));
}
