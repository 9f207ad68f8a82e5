/** How loud sections are against each other, from the same levels that everything is drawn from. */
import { LAYERS } from '../bands.ts';
import { type Pyramid, readPyramid } from '../pyramid.ts';
import type { EditedSection } from './edit.ts';

/** Width of the columns that powers are averaged over, s. */
const COLUMN_SECONDS = 0.1;
const FULL = LAYERS.indexOf('full');

/**
 * The sections with `energy` measured anew: the root of the mean power of each, against that of the loudest.
 * Sections of silence have 0.
 */
export function measureEnergies(sections: readonly EditedSection[], pyramid: Pyramid): EditedSection[] {
  const levels = sections.map((s) => levelOf(pyramid, s.startTime, s.endTime));
  const loudest = Math.max(...levels);
  return sections.map((s, i) => ({ ...s, energy: loudest > 0 ? levels[i] / loudest : 0 }));
}

function levelOf(pyramid: Pyramid, startTime: number, endTime: number): number {
  const count = Math.max(1, Math.round((endTime - startTime) / COLUMN_SECONDS));
  const { rms } = readPyramid(pyramid, startTime, (endTime - startTime) / count, count);
  const power = rms[FULL].reduce((sum, level) => sum + level * level, 0);
  return Math.sqrt(power / count);
}
