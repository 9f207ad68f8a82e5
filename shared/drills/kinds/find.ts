/** Point at the drop, the breakdown, the first kick or the mix-out point on the overview. */
import type { EditedSection } from '../../sections/edit.ts';
import { firstKick } from '../bass.ts';
import { chanceOfHit } from '../judge.ts';
import { overviewStrip } from '../pictures.ts';
import { runsOf, sectionKindAt } from '../structure.ts';
import { isSureBoundary } from '../sureness.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import type { DrillKind, DrillTrack, Shown } from '../types.ts';
import { type Drill, excerpt, EXCERPT_BARS, held, noPicture, type Place } from './kind.ts';

/** @param sizeOn inches at which the picture is drawn; missing: as large as there is room */
export function find(
  kind: DrillKind,
  places: (track: DrillTrack) => Place[],
  sizeOn?: (deck: DeckProfile) => Shown['size'],
): Drill {
  return {
    kind,
    doubts: ['grid', 'sections'],
    sound: 'optional',
    baseline: true,
    canAsk: () => true,
    places,
    make(place, { shownOn }) {
      const { track, time, params } = place;
      const main = overviewStrip(track, shownOn, null);
      const back = held(place, main, 'overview', { answer: { type: 'time', time }, chance: 0 });
      const size = sizeOn?.(shownOn);
      return {
        shown: {
          ...noPicture,
          question: { key: kind, params },
          ask: { by: 'pointing' },
          main,
          ...(size && { size }),
        },
        sound: excerpt(track, time, EXCERPT_BARS),
        held: { ...back, chance: chanceOfHit('pointing', back, track.analysis.duration) },
      };
    },
  };
}

/** Starts of the runs with this name that are sure, numbered among all of them. */
export function startsOf(label: 'drop' | 'breakdown') {
  return (track: DrillTrack): Place[] => {
    const runs = runsOf(track.analysis.sections).filter((run) => run.label === label);
    return runs.flatMap((run, i): Place[] =>
      isSureBoundary(track, run)
        ? [
            {
              track,
              section: label,
              time: run.startTime,
              group: '',
              params: { nth: i + 1, of: runs.length },
            },
          ]
        : [],
    );
  };
}

/** The start of the closing run. */
function mixOut(track: DrillTrack): Place[] {
  const last: EditedSection | undefined = runsOf(track.analysis.sections).at(-1);
  if (last?.label !== 'outro' || !isSureBoundary(track, last)) return [];
  return [{ track, section: 'outro', time: last.startTime, group: '', params: {} }];
}

function kick(track: DrillTrack): Place[] {
  const time = firstKick(track);
  if (time === null) return [];
  return [{ track, section: sectionKindAt(track, time), time, group: '', params: {} }];
}

export const findDrop = find('find-drop', startsOf('drop'));
export const findBreakdown = find('find-breakdown', startsOf('breakdown'));
export const findFirstKick = find('find-first-kick', kick);
export const findMixOut = find('find-mix-out', mixOut);
