/** Signs that tell by shape what words tell beside them. */
import type { Outcome } from '../../shared/survival/verdict.ts';

/**
 * A piece of thread as an SVG path in a box of 12 × 12: whole, its end frayed into three, broken with a gap. Told
 * apart by shape alone.
 */
export const threadPaths: Record<Outcome, string> = {
  holds: 'M6 0V12',
  weakened: 'M6 0V3M6 3Q2 6 2 12M6 3V12M6 3Q10 6 10 12',
  lost: 'M6 0V4M3.5 2.5L6 4.5L8.5 2.5M6 12V9M3.5 10.5L6 8.5L8.5 10.5',
};
