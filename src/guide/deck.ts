/** What a deck shows and hides, in plain words: made from its profile and from nothing else. */
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { number } from '../../shared/text.ts';
import { words } from './words.ts';

export interface DeckGuide {
  shows: string[];
  hides: string[];
}

/** s: the track that examples speak of. */
const SIX_MINUTES = 360;
/** Fewer heights than this hide changes of level that are heard (estimate: steps of about 2 dB near the top). */
const COARSE_HEIGHTS = 64;

const all = (...lines: (string | false)[]) => lines.filter((line): line is string => Boolean(line));

export function deckGuide({ waveform, overview, phase, hotCues, marks }: DeckProfile): DeckGuide {
  const { deck } = words;
  const { kinds, scrolling, zoomSeconds, heightSteps, grid, gridPlace } = waveform;
  const best = scrolling ? kinds[0] : undefined;
  const column = number(SIX_MINUTES / overview.columns);
  const hasGrid = scrolling && grid !== 'none';
  return {
    shows: all(
      scrolling &&
        zoomSeconds.length > 0 &&
        deck.window(number(zoomSeconds[0]), number(zoomSeconds.at(-1)!), zoomSeconds.length),
      best !== undefined && deck.kinds[best],
      hasGrid && `${deck.grid[grid]} ${deck.gridPlace[gridPlace]}`,
      deck.overview(overview.columns, column),
      deck.overviewKinds[overview.kind],
      deck.phase[phase.readout],
      hotCues.slots > 0 && deck.cues(hotCues.slots, hotCues.buttons),
      marks.shown && deck.marks(marks.limit),
    ),
    hides: all(
      !scrolling && deck.noScrolling,
      best === 'tint' && deck.tintHides,
      best === 'single' && deck.singleHides,
      scrolling && heightSteps < COARSE_HEIGHTS && deck.heights(heightSteps),
      !hasGrid && deck.noGrid,
      hasGrid && grid === 'beats' && deck.noBars,
      deck.overviewHides(column),
      overview.kind === 'plain' && deck.overviewPlain,
      phase.readout === 'none' && deck.noPhase,
      hotCues.slots === 0 && deck.noCues,
      hotCues.slots > 1 && hotCues.colours === 'one' && deck.cuesOneColour,
      hotCues.slots > 0 && hotCues.recall === 'by-hand' && deck.cuesByHand,
      !marks.shown && deck.noMarks,
    ),
  };
}
