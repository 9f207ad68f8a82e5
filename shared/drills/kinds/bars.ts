/** How many bars to the next change, read off the scrolling waveform. */
import { aroundPlayhead, PLAYHEAD_SHARE, scrolls, widest } from '../pictures.ts';
import { barSecondsAt, barsFrom, kindOfLabel } from '../structure.ts';
import { isSureBoundary } from '../sureness.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import type { DrillTrack } from '../types.ts';
import { type Drill, excerpt, EXCERPT_BARS, held, noPicture, type Place } from './kind.ts';

/** Most bars that are asked for; and the bars that must be seen after the change, so that it is seen at all. */
const MOST_BARS = 16;
const BARS_AFTER = 1;

/** Most bars before a change at which it can still be seen on the deck's screen. */
function reach(track: DrillTrack, deck: DeckProfile, time: number): number {
  const bar = barSecondsAt(track, time);
  if (!bar) return 0;
  return Math.min(MOST_BARS, Math.floor(((1 - PLAYHEAD_SHARE) * widest(deck)) / bar + 1e-6) - BARS_AFTER);
}

export const barsToChange: Drill = {
  kind: 'bars-to-change',
  doubts: ['grid', 'downbeat', 'sections'],
  sound: 'optional',
  baseline: true,
  canAsk: scrolls,
  places(track, deck) {
    const { sections } = track.analysis;
    return sections.flatMap((section, i): Place[] => {
      const before = sections[i - 1];
      if (!before || !isSureBoundary(track, section)) return [];
      const places: Place[] = [];
      const most = reach(track, deck, section.startTime);
      for (let bars = 1; bars <= most; bars++) {
        const time = barsFrom(track, section.startTime, -bars);
        if (time <= before.startTime) break;
        places.push({
          track,
          section: kindOfLabel(section.label),
          time,
          group: bars,
          params: { bars, most },
        });
      }
      return places;
    });
  },
  make(place, { shownOn }) {
    const { track, time } = place;
    const { bars, most } = place.params;
    const main = aroundPlayhead(track, shownOn, time, widest(shownOn));
    if (!main) return null;
    return {
      shown: {
        ...noPicture,
        question: { key: 'bars-to-change', params: {} },
        ask: { by: 'number', from: 1, to: most },
        main,
      },
      // What has just been played, as at a deck.
      sound: excerpt(track, time, -EXCERPT_BARS),
      held: held(place, main, 'scrolling', {
        answer: { type: 'bars', bars },
        chance: 1 / most,
        // The change is what the answer is about.
        time: barsFrom(track, time, bars),
      }),
    };
  },
};
