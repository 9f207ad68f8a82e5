/** The table of rules, in the order in which reasons of one outcome are told. To add a rule, add it to its family. */
import type { MarkerKind } from '../../markers/marker.ts';
import { colourRules } from './colours.ts';
import { fileRules } from './file.ts';
import { loopRules } from './loops.ts';
import { markRules } from './marks.ts';
import { overviewRules } from './overview.ts';
import { quantiseRules } from './quantise.ts';
import type { Rule } from './rule.ts';
import { sightRules } from './sight.ts';
import { slotRules } from './slots.ts';

export const RULES: readonly Rule[] = [
  ...fileRules,
  ...slotRules,
  ...markRules,
  ...loopRules,
  ...overviewRules,
  ...quantiseRules,
  ...sightRules,
  ...colourRules,
];

/** Those of some rules that judge markers of each kind, in their order. */
export function rulesByKind(rules: readonly Rule[]): Record<MarkerKind, readonly Rule[]> {
  const judging = (kind: MarkerKind) => rules.filter(({ kinds }) => kinds.includes(kind));
  return { cue: judging('cue'), mark: judging('mark'), loop: judging('loop') };
}
