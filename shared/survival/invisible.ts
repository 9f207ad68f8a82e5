/** Section changes that the richest deck shows and a poorer one does not, where no marker tells of them. */
import type { Marker } from '../markers/marker.ts';
import type { DeckProfile } from '../profile/schema.ts';
import type { Contrast } from './contrast.ts';
import { contextsFor, type JudgedTrack } from './context.ts';
import { freeSlotUpTo, roomForMark, standsAt } from './rules/place.ts';
import type { Remedy } from './verdict.ts';

export interface InvisibleChange {
  /** Where the section begins, s. */
  time: number;
  /** Label of the section that begins. */
  label: string;
  /** On this deck: below VISIBLE_CONTRAST. */
  contrast: Contrast;
  /** On the richest: at least VISIBLE_CONTRAST. */
  contrastOnRichest: Contrast;
  /** A mark where this deck shows marks and has room, else a hot cue in a slot that it has free, else in none. */
  proposal: Remedy & { action: 'add-mark' | 'add-cue' };
}

/**
 * In order of time. Changes too near an end of the track to be measured are left out.
 * @param richest the richest profile at hand; with `profile` itself nothing is found
 */
export function invisibleChanges(
  analysis: JudgedTrack,
  profile: DeckProfile,
  richest: DeckProfile,
  markers: readonly Marker[],
): InvisibleChange[] {
  if (profile === richest) return [];
  const [here, there] = contextsFor(markers, analysis, [profile, richest]);
  return analysis.sections.flatMap(({ startTime: time, label }): InvisibleChange[] => {
    if (time <= 0 || markers.some((marker) => standsAt(here, marker, time))) return [];
    const contrast = there.sight.sees(time) ? here.sight.hidden(time) : null;
    const contrastOnRichest = contrast && there.sight.contrast(time);
    if (!contrast || !contrastOnRichest) return [];
    const proposal: InvisibleChange['proposal'] = roomForMark(here)
      ? { action: 'add-mark', time, name: label }
      : { action: 'add-cue', time, name: label, slot: freeSlotUpTo(markers, profile.hotCues.slots) };
    return [{ time, label, contrast, contrastOnRichest, proposal: proposal }];
  });
}
