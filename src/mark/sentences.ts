/** Sentences put together from what is known. */
import { words } from './words.ts';

/** Where the sound rises against the grid's line, s. */
export function riseWords(offset: number): string {
  const value = Math.abs(offset * 1000).toFixed(1);
  if (Number(value) < 0.5) return words.closeRise(words.onTheLine);
  return words.closeRise(offset > 0 ? words.afterLine(value) : words.beforeLine(value));
}
