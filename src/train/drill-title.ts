/** Names of drills: of reading, of lists and files, of the hands. */
import { type DrillId, DRILLS } from '../../shared/behaviour/drills/machine.ts';
import { isLoadingDrill, type LoadingKind } from '../../shared/drills/loading/kinds.ts';
import { loadingTitles } from '../../shared/drills/loading/words.ts';
import type { DrillKind } from '../../shared/drills/types.ts';
import { drillWords } from '../../shared/drills/words.ts';
import { words as handWords } from './hands/words.ts';

type AnyDrill = DrillKind | LoadingKind | DrillId;

export const isHandDrill = (drill: AnyDrill): drill is DrillId =>
  (DRILLS as readonly string[]).includes(drill);

export function drillTitle(drill: AnyDrill): string {
  if (isHandDrill(drill)) return handWords.drills[drill];
  return isLoadingDrill(drill) ? loadingTitles[drill] : drillWords[drill];
}
