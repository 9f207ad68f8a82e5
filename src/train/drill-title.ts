/** Names of drills, reading and hand. */
import { type DrillId, DRILLS } from '../../shared/behaviour/drills/machine.ts';
import type { DrillKind } from '../../shared/drills/types.ts';
import { drillWords } from '../../shared/drills/words.ts';
import { words as handWords } from './hands/words.ts';

export const isHandDrill = (drill: DrillKind | DrillId): drill is DrillId =>
  (DRILLS as readonly string[]).includes(drill);

export const drillTitle = (drill: DrillKind | DrillId): string =>
  isHandDrill(drill) ? handWords.drills[drill] : drillWords[drill];
