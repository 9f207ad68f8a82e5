/** A section in words. */
import type { EditedSection } from '../../shared/sections/edit.ts';
import { clock } from '../ladder/view.ts';
import { words } from './words.ts';

const percent = (share: number) => Math.round(share * 100);

/** Where it is, how loud it is, how sharp its boundary is and why. */
export function aboutSection(section: EditedSection): string {
  const { label, startTime, endTime, strength, why, energy, byHand } = section;
  return [
    `${words.about(label, clock(startTime), clock(endTime))}.`,
    `${words.energy(percent(energy))}.`,
    byHand ? `${words.setByHand}.` : startTime > 0 ? `${words.strength(percent(strength))}: ${why}` : why,
  ].join(' ');
}
