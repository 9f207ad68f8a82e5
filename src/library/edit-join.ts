/** Corrections of one track from two tabs as one record. */
import { ExchangeFault } from '../../shared/exchange/types.ts';
import { bothOf, theirsOverMine } from './backup-merge.ts';
import type { EditRecord } from './records.ts';

/** What undo shows for the step to both. */
export const STEP_TABS = 'Join with another tab';

/**
 * Grid and sections of `mine` where I have them, the markers of both; undo leads back to either. Where both together
 * are more markers than a track can have, mine are in force and theirs are a step back.
 */
export function joinedEdits(mine: EditRecord, theirs: EditRecord): EditRecord {
  // Later than both, so that either tab sees that it is another one.
  const now = Math.max(mine.savedAt, theirs.savedAt + 1);
  try {
    return bothOf(mine, theirs, now, STEP_TABS);
  } catch (error) {
    if (!(error instanceof ExchangeFault)) throw error;
    return theirsOverMine(theirs, mine, now, STEP_TABS);
  }
}
