/** All kinds of reading drill. */
import type { DrillKind } from '../types.ts';
import { barsToChange } from './bars.ts';
import { bassHere } from './bass.ts';
import { energyClash } from './clash.ts';
import { findBreakdown, findDrop, findFirstKick, findMixOut } from './find.ts';
import type { Drill } from './kind.ts';
import { ownSize } from './size.ts';
import { phaseCompare } from './phase.ts';
import { heardStrip, sameOnRich } from './strips.ts';
import { readTime } from './time.ts';

export const DRILLS: { readonly [K in DrillKind]: Drill } = {
  'find-drop': findDrop,
  'find-breakdown': findBreakdown,
  'find-first-kick': findFirstKick,
  'find-mix-out': findMixOut,
  'bars-to-change': barsToChange,
  'heard-strip': heardStrip,
  'same-on-rich': sameOnRich,
  'bass-here': bassHere,
  'phase-compare': phaseCompare,
  'read-time': readTime,
  'energy-clash': energyClash,
  'own-size': ownSize,
};
