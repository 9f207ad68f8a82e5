/** What becomes of a track's markers on the decks of the ladder, in the form that the screen reads. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { verdictsByDeck } from '../../shared/survival/verdicts.ts';
import type { Outcome, Verdict } from '../../shared/survival/verdict.ts';

export interface JudgedDeck {
  profile: DeckProfile;
  /** By marker id. */
  verdicts: ReadonlyMap<string, Verdict>;
}

/** Judges every marker on every deck. */
export function judge(
  markers: readonly Marker[],
  analysis: TrackAnalysis,
  profiles: readonly DeckProfile[],
): JudgedDeck[] {
  const byDeck = verdictsByDeck(markers, analysis, profiles);
  return profiles.map((profile, i) => ({
    profile,
    verdicts: new Map(byDeck[i].map((v) => [v.markerId, v])),
  }));
}

export function counts(deck: JudgedDeck): Record<Outcome, number> {
  const count = { holds: 0, weakened: 0, lost: 0 };
  for (const { outcome } of deck.verdicts.values()) count[outcome]++;
  return count;
}

/** A thread nearer to the pointer than this is meant, CSS pixels. */
const REACH = 9;

/** The marker whose thread lies nearest to `x`, within reach; null when none does. */
export function nearestThread(
  markers: readonly Marker[],
  x: number,
  place: (time: number) => number,
): Marker | null {
  let best: Marker | null = null;
  let reach = REACH;
  for (const marker of markers) {
    const away = Math.abs(place(marker.time) - x);
    if (away > reach) continue;
    reach = away;
    best = marker;
  }
  return best;
}
