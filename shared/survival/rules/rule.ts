/** One rule of survival, and what rules share. */
import type { Marker, MarkerKind } from '../../markers/marker.ts';
import type { RuleContext } from '../context.ts';
import type { Reason, Remedy } from '../verdict.ts';
import type { AdviceKey, ReasonKey } from '../words.ts';

/** What a rule found; its key is the rule's own. */
export type Finding = Omit<Reason, 'key'>;

export interface Rule<M extends Marker = Marker> {
  key: ReasonKey;
  kinds: readonly MarkerKind[];
  /** null: this rule has nothing to say about the marker on this deck. */
  judge(marker: M, context: RuleContext): Finding | null;
}

/** A rule for the kinds named; inside, the marker has their type. */
export function rule<K extends MarkerKind>(
  key: ReasonKey,
  kinds: readonly K[],
  judge: Rule<Extract<Marker, { kind: K }>>['judge'],
): Rule {
  return { key, kinds, judge: judge as Rule['judge'] };
}

export const lost = (params: Finding['params'], ...remedies: (Remedy | null)[]): Finding => ({
  params,
  outcome: 'lost',
  remedies: remedies.filter((r) => r !== null),
});

export const weakened = (params: Finding['params'], ...remedies: (Remedy | null)[]): Finding => ({
  params,
  outcome: 'weakened',
  remedies: remedies.filter((r) => r !== null),
});

export const advice = (key: AdviceKey): Remedy => ({ action: 'advice', key });

/** What a sentence calls a marker: its name, else what it is. */
export function labelOf(marker: Marker): string {
  if (marker.name) return `“${marker.name}”`;
  if (marker.kind === 'cue' && marker.slot !== null) return `the cue in slot ${marker.slot}`;
  const at = Math.floor(marker.time);
  const what = marker.kind === 'cue' ? 'cue' : marker.kind;
  return `the ${what} at ${Math.floor(at / 60)}:${String(at % 60).padStart(2, '0')}`;
}
