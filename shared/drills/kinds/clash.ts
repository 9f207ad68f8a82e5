/** Which of four tracks, brought in at its mark, would be far louder or quieter than what plays? */
import { overviewStrip, withoutClock } from '../pictures.ts';
import { pick, shuffled } from '../random.ts';
import { barsFrom, kindOfLabel, levelDb } from '../structure.ts';
import { isSureBoundary } from '../sureness.ts';
import type { DrillTrack } from '../types.ts';
import { type Drill, excerpt, EXCERPT_BARS, held, noPicture, type Place } from './kind.ts';
import { OPTIONS } from './strips.ts';

/** Levels that differ by no more than this go together, and from so many on they clash, dB. Estimates. */
export const FITS_WITHIN_DB = 2;
export const CLASHES_FROM_DB = 5;
/** Bars after the mark whose level counts. */
const BARS = 8;

interface Entry {
  track: DrillTrack;
  startTime: number;
  label: string;
  level: number;
}

const measured = new WeakMap<DrillTrack['analysis'], Entry[]>();

/** Sections that begin surely, with the level of their first bars. */
function entriesOf(track: DrillTrack): Entry[] {
  let known = measured.get(track.analysis);
  if (!known) {
    known = track.analysis.sections
      .filter((section) => isSureBoundary(track, section))
      .map(({ startTime, endTime, label }) => {
        const to = Math.min(endTime, barsFrom(track, startTime, BARS));
        return { track, startTime, label, level: levelDb(track, startTime, to) };
      });
    measured.set(track.analysis, known);
  }
  // The list is kept with the analysis; who asks may hold another object of the same track.
  return known.map((entry) => ({ ...entry, track }));
}

interface Pool {
  fits: Entry[];
  clashes: Entry[];
}

function poolFor(track: DrillTrack, level: number, tracks: readonly DrillTrack[]): Pool {
  const others = tracks.filter((other) => other.id !== track.id).flatMap(entriesOf);
  return {
    fits: others.filter((entry) => Math.abs(entry.level - level) <= FITS_WITHIN_DB),
    clashes: others.filter((entry) => Math.abs(entry.level - level) >= CLASHES_FROM_DB),
  };
}

export const energyClash: Drill = {
  kind: 'energy-clash',
  doubts: ['grid', 'sections'],
  sound: 'optional',
  baseline: true,
  canAsk: () => true,
  places(track, _deck, tracks) {
    return entriesOf(track).flatMap(({ startTime: time, label, level }): Place[] => {
      const { fits, clashes } = poolFor(track, level, tracks);
      if (fits.length < OPTIONS - 1 || !clashes.length) return [];
      return [{ track, section: kindOfLabel(label), time, group: '', params: { level } }];
    });
  },
  make(place, { tracks, shownOn, random }) {
    const { track, time, params } = place;
    const { fits, clashes } = poolFor(track, params.level, tracks);
    const clash = pick(random, clashes);
    if (!clash || fits.length < OPTIONS - 1) return null;
    const four = shuffled(random, [clash, ...shuffled(random, fits).slice(0, OPTIONS - 1)]);
    const index = four.indexOf(clash);
    const strip = (entry: { track: DrillTrack; startTime: number }) =>
      withoutClock(overviewStrip(entry.track, shownOn, entry.startTime), true);
    const main = overviewStrip(track, shownOn, time);
    return {
      shown: {
        ...noPicture,
        question: { key: 'energy-clash', params: {} },
        ask: { by: 'strip', count: OPTIONS },
        main: withoutClock(main, true),
        options: four.map(strip),
      },
      sound: excerpt(track, time, EXCERPT_BARS),
      held: held(place, main, 'overview', {
        answer: { type: 'choice', index },
        chance: 1 / OPTIONS,
        options: four.map((entry) => ({ trackId: entry.track.id, time: entry.startTime })),
      }),
    };
  },
};
