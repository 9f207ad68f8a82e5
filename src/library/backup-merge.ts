/** How two records of one thing become one. Pure functions. */
import { type Graded, replay } from '../../shared/drills/cards.ts';
import type { CardRecord } from '../../shared/drills/types.ts';
import { joinMarkers } from '../../shared/exchange/join.ts';
import { type Booth, type GigSet, MAX_GIG_NAME } from '../../shared/gig/types.ts';
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

/** An id and a name that are not in use, made from those of the backup's. @param taken ids that are in use */
function renamed(
  { id, name }: { id: string; name: string },
  taken: ReadonlySet<string>,
  mostName: number,
): { id: string; name: string } {
  let n = 2;
  const idFor = () => `${id.slice(0, MOST_ID - 4)}-${n}`;
  while (taken.has(idFor())) n++;
  const tail = ` (backup${n > 2 ? ` ${n - 1}` : ''})`;
  return { id: idFor(), name: name.slice(0, mostName - tail.length) + tail };
}

/** Theirs under an id and a name of its own. @param taken ids that are in use */
export function renamedProfile(
  theirs: ProfileRecord,
  taken: ReadonlySet<string>,
  now: number,
): ProfileRecord {
  const file: ProfileFile = { ...theirs.file, ...renamed(theirs.file, taken, MOST_NAME) };
  return { ...theirs, id: file.id, file, savedAt: now };
}

/** The same for a booth or a set. */
export const renamedGig = <T extends Booth | GigSet>(theirs: T, taken: ReadonlySet<string>): T => ({
  ...theirs,
  ...renamed(theirs, taken, MAX_GIG_NAME),
});

/** What a booth of the backup says of decks, or a set of its booth, where those got other ids here. */
export function withIds<T extends Booth | GigSet>(record: T, ids: ReadonlyMap<string, string>): T {
  if ('decks' in record) {
    const decks = record.decks.map((deck) => ({
      ...deck,
      profileId: ids.get(deck.profileId) ?? deck.profileId,
    }));
    return { ...record, decks };
  }
  return { ...record, boothId: ids.get(record.boothId ?? '') ?? record.boothId };
}

/**
 * The card of a drill that was trained in both places. Where one side has every answer of the other, its card is the
 * whole of it, and of equal answers the later card; else the card is made anew from the answers of both.
 * @param mine, theirs answers to this drill on the trained deck
 * @returns null where that cannot be told: then the person is asked
 */
export function joinedCard(
  cards: { mine: CardRecord; theirs: CardRecord },
  mine: readonly Graded[],
  theirs: readonly Graded[],
): CardRecord | null {
  const at = (list: readonly Graded[]) => new Set(list.map((answer) => answer.at));
  const [mineAt, theirsAt] = [at(mine), at(theirs)];
  const mineHasAll = [...theirsAt].every((time) => mineAt.has(time));
  const theirsHasAll = [...mineAt].every((time) => theirsAt.has(time));
  if (mineHasAll && theirsHasAll) {
    const [a, b] = [cards.mine.lastReview ?? 0, cards.theirs.lastReview ?? 0];
    return a > b ? cards.mine : b > a ? cards.theirs : null;
  }
  if (mineHasAll) return cards.mine;
  if (theirsHasAll) return cards.theirs;
  const both = [...mine, ...theirs.filter((answer) => !mineAt.has(answer.at))];
  return replay(both).cards.get(cards.mine.key) ?? null;
}

/** Settings that are tables or lists: those of both, mine where both have an entry. */
export function bothSettings(mine: SettingRecord, theirs: SettingRecord, now: number): SettingRecord {
  if (Array.isArray(mine.value) && Array.isArray(theirs.value)) {
    return { ...mine, value: bothLists(mine.value, theirs.value), savedAt: now };
  }
  return { ...mine, value: { ...(theirs.value as object), ...(mine.value as object) }, savedAt: now };
}

/** Mine, then theirs that I have not: known by their id, or, where that is broken, by all that they hold. */
function bothLists(mine: readonly unknown[], theirs: readonly unknown[]): unknown[] {
  const same = (a: unknown, b: unknown) => (idOf(a) === undefined ? sameValue(a, b) : idOf(a) === idOf(b));
  return [...mine, ...theirs.filter((each) => !mine.some((one) => same(each, one)))];
}

const idOf = (value: unknown): unknown =>
  typeof value === 'object' && value !== null && 'id' in value ? value.id : undefined;
