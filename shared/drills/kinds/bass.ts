/** Is the bass in or out under the playhead? */
import { bassByBar } from '../bass.ts';
import { aroundPlayhead, overviewStrip, scrolls } from '../pictures.ts';
import { sectionKindAt } from '../structure.ts';
import { type Drill, held, noPicture, type Place } from './kind.ts';

const WORDS = ['out', 'in'] as const;

export const bassHere: Drill = {
  kind: 'bass-here',
  doubts: ['grid', 'sections'],
  // The ear would answer at once.
  sound: 'never',
  baseline: true,
  canAsk: () => true,
  places(track) {
    const bars = bassByBar(track);
    return bars.flatMap(({ startTime: time, state }, i): Place[] => {
      // With a bar of the same on either side, so that a column or two do not decide.
      const steady = [bars[i - 1], bars[i + 1]].every((bar) => bar?.state === state);
      if (state === 'between' || !steady) return [];
      const section = sectionKindAt(track, time);
      // A drop has its bass nearly always: a key for drops would be one for "in".
      const params = { in: state === 'in' ? 1 : 0 };
      return [{ track, section, keySection: 'any', time, group: state, params }];
    });
  },
  make(place, { deck, shownOn }) {
    const { track, time, params } = place;
    const view = scrolls(deck) ? 'scrolling' : 'overview';
    // In the middle of the bar, where either side is the same.
    const bar = bassByBar(track).find((b) => b.startTime === time);
    const at = bar ? (bar.startTime + bar.endTime) / 2 : time;
    const main =
      view === 'scrolling'
        ? aroundPlayhead(track, shownOn, at, shownOn.waveform.zoomSeconds[0] ?? 0)
        : overviewStrip(track, shownOn, at);
    if (!main) return null;
    return {
      shown: {
        ...noPicture,
        question: { key: 'bass-here', params: {} },
        ask: { by: 'word', words: WORDS },
        main,
      },
      sound: null,
      held: held(place, main, view, {
        answer: { type: 'choice', index: params.in },
        chance: 1 / WORDS.length,
        time: at,
      }),
    };
  },
};
