/** How two records of one thing become one. Pure functions. */
import { joinMarkers } from '../../shared/exchange/join.ts';
import type { ProfileFile } from '../../shared/profile/schema.ts';
import { MAX_STEPS, readHistory } from '../mark/history.ts';
import { sameValue } from './backup-format.ts';
import type { CorrectionHistory, Corrections, EditRecord, ProfileRecord, SettingRecord } from './records.ts';

/** What undo shows for the step from mine to theirs, and for the step to both. */
export const STEP_RESTORED = 'Restore from a backup';
export const STEP_JOINED = 'Join with a backup';
const MOST_NAME = 40;
const MOST_ID = 60;

/** The state in force, whatever fields corrections have. */
export function stateOf({
  id: _id,
  history: _history,
  savedAt: _savedAt,
  ...state
}: EditRecord): Corrections {
  return state;
}

const present = (state: Corrections) =>
  Object.fromEntries(Object.entries(state).filter(([, value]) => value !== null && value !== undefined));

/** Whether two states say the same; null and missing are one. */
export const sameState = (a: Corrections, b: Corrections): boolean => sameValue(present(a), present(b));

/** Whether `later` is `earlier` with further steps: then nothing of `earlier` is lost by taking it. */
export function continues(later: EditRecord, earlier: EditRecord): boolean {
  const [a, b] = [readHistory(earlier), readHistory(later)];
  if (b.steps.length < a.steps.length) return false;
  return a.steps.every((step, i) => step.what === b.steps[i].what && sameState(step, b.steps[i]));
}

/** Theirs in force; undo leads back through their steps to mine. */
export function theirsOverMine(
  mine: EditRecord,
  theirs: EditRecord,
  now: number,
  step = STEP_RESTORED,
): EditRecord {
  const [a, b] = [readHistory(mine), readHistory(theirs)];
  const steps = [...a.steps, ...b.steps.map((s) => (s.what ? s : { ...s, what: step }))];
  return { ...theirs, history: capped({ steps, at: a.steps.length + b.at }), savedAt: now };
}

/** Grid and sections of mine, where I have them, and the markers of both; undo leads back to either. */
export function bothOf(mine: EditRecord, theirs: EditRecord, now: number, step = STEP_JOINED): EditRecord {
  const state: Corrections = { ...stateOf(theirs), ...(present(stateOf(mine)) as Partial<Corrections>) };
  if (mine.markers && theirs.markers) state.markers = joinMarkers(mine.markers, theirs.markers);
  const { history } = theirsOverMine(mine, theirs, now);
  const steps = [...history!.steps, { ...state, what: step }];
  return { ...state, id: mine.id, history: capped({ steps, at: steps.length - 1 }), savedAt: now };
}

function capped({ steps, at }: CorrectionHistory): CorrectionHistory {
  const cut = Math.max(0, steps.length - MAX_STEPS);
  // The state in force is never cut away.
  const from = Math.min(cut, at);
  return { steps: steps.slice(from, from + MAX_STEPS), at: at - from };
}

/** Theirs under an id and a name of its own. @param taken ids that are in use */
export function renamedProfile(
  theirs: ProfileRecord,
  taken: ReadonlySet<string>,
  now: number,
): ProfileRecord {
  let n = 2;
  const idFor = () => `${theirs.id.slice(0, MOST_ID - 4)}-${n}`;
  while (taken.has(idFor())) n++;
  const tail = ` (backup${n > 2 ? ` ${n - 1}` : ''})`;
  const name = theirs.file.name.slice(0, MOST_NAME - tail.length) + tail;
  const file: ProfileFile = { ...theirs.file, id: idFor(), name };
  return { ...theirs, id: file.id, file, savedAt: now };
}

/** Settings that are tables: those of both, mine where both have an entry. */
export function bothSettings(mine: SettingRecord, theirs: SettingRecord, now: number): SettingRecord {
  return { ...mine, value: { ...(theirs.value as object), ...(mine.value as object) }, savedAt: now };
}
