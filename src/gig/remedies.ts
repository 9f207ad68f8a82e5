/** One-click remedies of the check: what they make of a set, and of the markers of its tracks. */
import type { Finding, FindingDetail, GigRemedy } from '../../shared/gig/check/finding.ts';
import type { SetEntry } from '../../shared/gig/types.ts';
import type { BeatGrid } from '../../shared/grid/grid.ts';
import type { Section } from '../../shared/analysis.ts';
import { assignSlots } from '../../shared/markers/edit.ts';
import { cuesOf, type Marker } from '../../shared/markers/marker.ts';
import { proposeMarkers } from '../../shared/markers/propose.ts';
import { carryOut } from '../../shared/markers/remedy.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import type { Remedy } from '../../shared/survival/verdict.ts';
import { planSlots } from '../../shared/survival/planner.ts';

/** What of a track the remedies work on. */
export interface MendedTrack {
  markers: readonly Marker[];
  grid: BeatGrid;
  sections: readonly Section[];
  /** s */
  duration: number;
}

/** Remedies of verdicts that are done on markers. */
type OnMarkers = Exclude<Remedy, { action: 'make-copy' | 'advice' }>;
const ON_MARKERS: Record<OnMarkers['action'], true> = {
  'take-slot': true,
  'move-to': true,
  'set-length': true,
  'add-mark': true,
  'add-cue': true,
};
const isOnMarkers = (remedy: GigRemedy): remedy is OnMarkers => Object.hasOwn(ON_MARKERS, remedy.action);

/** Whether a remedy is done on the markers of tracks at once. */
export const mendsMarkers = (remedy: GigRemedy): boolean =>
  isOnMarkers(remedy) || remedy.action === 'plan-slots' || remedy.action === 'mark-sections';

/** The moves of an entry that are left when those that the finding is about are dropped. */
export function withoutMoves(entry: SetEntry, { details }: Pick<Finding, 'details'>): SetEntry['moves'] {
  const gone = new Set(
    details.flatMap(({ entryId, move }) => (move && entryId === entry.id ? JSON.stringify(move) : [])),
  );
  return entry.moves.filter((move) => !gone.has(JSON.stringify(move)));
}

/**
 * A track's markers after a remedy for some places in it.
 * @param details of this track; their own remedies are those that `mark-sections` carries out
 * @param decks of the booth
 * @returns null where nothing is changed by it
 * @throws MarkerFault when it cannot be done
 */
export function mended(
  track: MendedTrack,
  remedy: GigRemedy,
  details: readonly FindingDetail[],
  decks: readonly DeckProfile[],
): Marker[] | null {
  if (remedy.action === 'plan-slots') {
    const { moves } = planSlots(cuesOf(track.markers), decks);
    return moves.length
      ? assignSlots(track.markers, new Map(moves.map((move) => [move.markerId, move.to])))
      : null;
  }
  if (remedy.action === 'mark-sections') {
    const places = details.flatMap(({ remedies }) => {
      const mark = remedies.find(({ action }) => action === 'add-mark' || action === 'add-cue');
      return mark ? [mark] : [];
    });
    if (places.length)
      return inTurn(
        track,
        places.map((place) => [null, place] as const),
      );
    const { markers, added } = proposeMarkers(track.markers, track.sections, track.grid);
    return added ? markers : null;
  }
  // One that marks a place names it; one for markers is for those that the details name.
  const adds = remedy.action === 'add-mark' || remedy.action === 'add-cue';
  const ids = adds ? [null] : [...new Set(details.map(({ markerId }) => markerId))];
  return inTurn(
    track,
    ids.map((id) => [id, remedy] as const),
  );
}

function inTurn(
  track: MendedTrack,
  steps: readonly (readonly [string | null, GigRemedy])[],
): Marker[] | null {
  let now: readonly Marker[] = track.markers;
  for (const [id, remedy] of steps) {
    if (!isOnMarkers(remedy)) continue;
    now = carryOut(now, id, remedy, track) ?? now;
  }
  return now === track.markers ? null : [...now];
}
