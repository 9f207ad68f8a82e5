/** Verdicts: every rule asked about every marker, on a deck or on several. */
import type { Marker, MarkerKind } from '../markers/marker.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { contextFor, type JudgedTrack } from './context.ts';
import type { Rule } from './rules/rule.ts';
import { RULES } from './rules/rules.ts';
import type { Reason, Verdict } from './verdict.ts';

const rulesByKind: Record<MarkerKind, readonly Rule[]> = {
  cue: RULES.filter(({ kinds }) => kinds.includes('cue')),
  mark: RULES.filter(({ kinds }) => kinds.includes('mark')),
  loop: RULES.filter(({ kinds }) => kinds.includes('loop')),
};

/**
 * What becomes of each marker on one deck, with every reason; in the order of `markers`.
 * Pure, but for what it keeps of the track's pictures: an analysis, a grid or a profile must not be changed after
 * it was judged; pass a new one.
 * @param markers all markers of the track: they share slots, columns and limits
 */
export function verdictsFor(
  markers: readonly Marker[],
  analysis: JudgedTrack,
  profile: DeckProfile,
): Verdict[] {
  const context = contextFor(markers, analysis, profile);
  return markers.map((marker) => {
    const lost: Reason[] = [];
    const weakened: Reason[] = [];
    for (const { key, judge } of rulesByKind[marker.kind]) {
      const finding = judge(marker, context);
      if (finding) (finding.outcome === 'lost' ? lost : weakened).push({ key, ...finding });
    }
    return {
      markerId: marker.id,
      profileId: profile.id,
      outcome: lost.length ? 'lost' : weakened.length ? 'weakened' : 'holds',
      reasons: [...lost, ...weakened],
    };
  });
}

/** One marker on several decks. */
export interface VerdictRow {
  marker: Marker;
  /** In the order of the profiles. */
  verdicts: Verdict[];
}

/** A row per marker, in their order; a verdict per profile, in theirs. */
export function verdictTable(
  markers: readonly Marker[],
  analysis: JudgedTrack,
  profiles: readonly DeckProfile[],
): VerdictRow[] {
  const byDeck = profiles.map((profile) => verdictsFor(markers, analysis, profile));
  return markers.map((marker, i) => ({ marker, verdicts: byDeck.map((verdicts) => verdicts[i]) }));
}
