/** What a deck's scrolling waveform is painted with: its columns, its inks, its grid lines. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { rampFor } from '../../shared/colour/ramp.ts';
import { makeScrolling, scrollingColumns } from '../../shared/display/model.ts';
import type { DeckProfile, WaveformKind } from '../../shared/profile/schema.ts';
import { type Inks, paintColumns, paintGrid } from './paint.ts';
import type { StripOptions } from './strip.ts';

/** @param zoomStop index into the deck's `zoomSeconds` */
export function stripPainter(
  shown: WaveformKind,
  zoomStop: number,
  deck: DeckProfile,
  track: Pick<TrackAnalysis, 'pyramid' | 'grid' | 'duration'>,
): Required<Pick<StripOptions, 'paint' | 'ahead'>> {
  const inks: Inks = {
    palette: deck.palette,
    ramp: rampFor(deck.palette, shown, deck.waveform.colourSteps),
  };
  return {
    paint(ctx, area) {
      const view = { ...area, zoomStop, maxColumns: area.width };
      const columns = scrollingColumns(track, deck, shown, view);
      if (!columns) return;
      const where = { ...area, stance: 'middle' as const };
      paintColumns(ctx, columns, inks, where);
      paintGrid(ctx, columns.gridLines, deck.palette, deck.waveform.gridPlace, where);
    },
    ahead: (stretch) =>
      makeScrolling(track, deck, shown, { ...stretch, zoomStop, maxColumns: stretch.width }),
  };
}
