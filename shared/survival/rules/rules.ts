/** The table of rules, in the order in which reasons of one outcome are told. To add a rule, add it to its family. */
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
