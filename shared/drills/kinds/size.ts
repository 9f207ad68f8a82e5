/** The drop or the breakdown on the overview again, but no larger than it is on the deck's screen. */
import type { DeckProfile } from '../../profile/schema.ts';
import type { DrillTrack } from '../types.ts';
import { find, startsOf } from './find.ts';
import type { Place } from './kind.ts';

/** Share of the screen's height that the overview takes. Estimate: no profile says it. */
const OVERVIEW_HEIGHT = 1 / 6;

/** Width and height of the overview on the deck's screen, inches, from its diagonal and its pixels. */
export function overviewSize({ screen, overview }: DeckProfile): { width: number; height: number } {
  const perPixel = screen.diagonalInches / Math.hypot(screen.columns, screen.rows);
  return {
    width: Math.min(overview.columns, screen.columns) * perPixel,
    height: screen.rows * perPixel * OVERVIEW_HEIGHT,
  };
}

/** `drop` in the parameters: 1 for a drop, 0 for a breakdown. */
const starts = (track: DrillTrack): Place[] =>
  (['drop', 'breakdown'] as const).flatMap((label) =>
    startsOf(label)(track).map((place) => ({
      ...place,
      params: { ...place.params, drop: label === 'drop' ? 1 : 0 },
    })),
  );

export const ownSize = find('own-size', starts, overviewSize);
