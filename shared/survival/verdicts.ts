/** Verdicts: every rule asked about every marker, on a deck or on several. */
import type { Marker } from '../markers/marker.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { contextFor, contextsFor, type JudgedTrack, type RuleContext } from './context.ts';
import type { Rule } from './rules/rule.ts';
import { RULES, rulesByKind } from './rules/rules.ts';
import type { Reason, Verdict } from './verdict.ts';

const ALL_RULES = rulesByKind(RULES);

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
  return verdictsIn(contextFor(markers, analysis, profile), markers);
}

/** The same on several decks, in the order of the profiles. */
export function verdictsByDeck(
  markers: readonly Marker[],
  analysis: JudgedTrack,
  profiles: readonly DeckProfile[],
): Verdict[][] {
  return contextsFor(markers, analysis, profiles).map((context) => verdictsIn(context, markers));
}

function verdictsIn(context: RuleContext, markers: readonly Marker[]): Verdict[] {
  return markers.map((marker) => verdictOf(marker, context, ALL_RULES[marker.kind]));
}

/**
 * What becomes of one marker, after some of the rules.
 * @param rules for markers of its kind
 */
export function verdictOf(marker: Marker, context: RuleContext, rules: readonly Rule[]): Verdict {
  const reasons: Reason[] = [];
  let lost = 0;
  for (const { key, judge } of rules) {
    const finding = judge(marker, context);
    if (!finding) continue;
    const { params, outcome, remedies } = finding;
    const reason: Reason = { key, params, outcome, remedies };
    if (outcome === 'lost') reasons.splice(lost++, 0, reason);
    else reasons.push(reason);
  }
  return {
    markerId: marker.id,
    profileId: context.profile.id,
    outcome: lost ? 'lost' : reasons.length ? 'weakened' : 'holds',
    reasons,
  };
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
  const byDeck = verdictsByDeck(markers, analysis, profiles);
  return markers.map((marker, i) => ({ marker, verdicts: byDeck.map((verdicts) => verdicts[i]) }));
}
