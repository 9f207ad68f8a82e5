/** Which time is it at the mark on the overview? */
import { chanceOfHit } from '../judge.ts';
import { overviewStrip } from '../pictures.ts';
import { kindOfLabel } from '../structure.ts';
import { type Drill, held, noPicture, type Place } from './kind.ts';

export const readTime: Drill = {
  kind: 'read-time',
  doubts: ['grid', 'sections'],
  sound: 'never',
  baseline: true,
  canAsk: () => true,
  places(track) {
    return track.analysis.sections.map((section): Place => ({
      track,
      section: kindOfLabel(section.label),
      time: section.startTime,
      group: '',
      params: { length: section.endTime - section.startTime },
    }));
  },
  make(place, { shownOn, random }) {
    const { track } = place;
    const wanted = place.time + random() * place.params.length;
    const main = overviewStrip(track, shownOn, wanted);
    const { secondsPerColumn } = main.columns;
    // The middle of the marked column: nothing finer is shown.
    const time = ((main.markColumn ?? 0) + 0.5) * secondsPerColumn;
    const lengthSeconds = Math.round(track.analysis.duration);
    const back = held(place, main, 'overview', { answer: { type: 'time', time }, chance: 0, time });
    return {
      shown: {
        ...noPicture,
        question: { key: 'read-time', params: {} },
        ask: { by: 'time', to: lengthSeconds },
        main,
        lengthSeconds,
      },
      sound: null,
      held: { ...back, chance: chanceOfHit('time', back, track.analysis.duration) },
    };
  },
};
