/** Planning a session and going through it. A session is plain data: store it after every answer. */
import { afterAnswer, retrievability } from './cards.ts';
import type { HandKey } from './hands.ts';
import type { LoadingKey } from './loading/make.ts';
import type { LoadingItem } from './loading/types.ts';
import { type AvailableKey, partsOf } from './make.ts';
import { newSeed, pick, shuffled } from './random.ts';
import type {
  AnswerRecord,
  CardRecord,
  DrillItem,
  ItemKey,
  PlannedItem,
  Random,
  Score,
  Session,
  SessionMinutes,
  SessionMode,
} from './types.ts';

/** Seconds of one item with its explanation, until the person's own times are known. Estimate. */
export const ITEM_SECONDS = 25;
/** Seconds of that for reading the explanation. Estimate. */
const EXPLANATION_SECONDS = 10;
/** Answers from which the person's own times are used, and how many of the last ones. */
const OWN_TIMES_FROM = 10;
const OWN_TIMES = 50;
const LEAST_ITEMS = 4;

/** Share of the places in a session that new keys may take. */
export const NEW_SHARE = 1 / 3;
/** Share of the places that are asked on the richest display as the person's own baseline. */
export const BASELINE_SHARE = 1 / 6;
/** In the mode `tonight`, share of the places that belong to the booth's decks. */
export const BOOTH_SHARE = 0.8;
/** Share of the items that are played where sound does not give the answer away. */
export const SOUND_SHARE = 1 / 2;

export interface PlanOptions {
  minutes: SessionMinutes;
  mode: SessionMode;
  /** Decks of tonight's booth, by id; used in the mode `tonight`. */
  boothDeckIds: readonly string[];
  /** Whether the person can listen now; without it kinds that are heard are left out. */
  sound: boolean;
}

/** What a session may be planned from. */
export type PlanKey = AvailableKey | LoadingKey | HandKey;

type Planned = Omit<PlannedItem, 'seed' | 'withSound'>;

/** Items that fit in so many minutes, by the person's own times where there are enough of them. */
export function itemsIn(minutes: number, history: readonly AnswerRecord[]): number {
  const times = history.slice(-OWN_TIMES).map((record) => record.responseSeconds);
  times.sort((a, b) => a - b);
  const own = times.length >= OWN_TIMES_FROM ? times[times.length >> 1] + EXPLANATION_SECONDS : ITEM_SECONDS;
  return Math.max(LEAST_ITEMS, Math.round((minutes * 60) / own));
}

/**
 * Plans a session. Due keys come first, the most forgotten before the others; then new ones, up to NEW_SHARE of the
 * places; then keys that are not due yet, and at last new ones once more, so that the time is filled. Of all places
 * about BASELINE_SHARE go to the richest display.
 * @param keys what can be asked (`availableKeys`, and `handKeys` where the person has their hands free)
 * @param cards by key; keys without a card are new
 * @param now ms since 1970
 */
export function planSession(
  options: PlanOptions,
  keys: readonly PlanKey[],
  cards: ReadonlyMap<ItemKey, CardRecord>,
  history: readonly AnswerRecord[],
  now: number,
  random: Random,
): Session {
  const usable = keys.filter(({ sound }) => options.sound || sound !== 'always');
  const places = usable.length ? itemsIn(options.minutes, history) : 0;
  const baselines = baselinesFor(usable, history, Math.round(places * BASELINE_SHARE), options, random);
  const trained = fill(usable, cards, places - baselines.length, options, now, random);
  const items = spread([...trained, ...baselines], random).map((item): PlannedItem => {
    const sound = usable.find(({ key }) => key === item.key)?.sound;
    const played = options.sound && sound === 'optional' && random() < SOUND_SHARE;
    return { ...item, withSound: played || sound === 'always', seed: newSeed(random) };
  });
  const { minutes, mode } = options;
  return { version: 1, minutes, mode, startedAt: now, items, at: 0, answers: [] };
}

function fill(
  keys: readonly PlanKey[],
  cards: ReadonlyMap<ItemKey, CardRecord>,
  places: number,
  options: PlanOptions,
  now: number,
  random: Random,
): Planned[] {
  const known = keys.flatMap(({ key, deckId }) => {
    const card = cards.get(key);
    return card ? [{ key, deckId, card, recall: retrievability(card, now) }] : [];
  });
  const byRecall = known.sort((a, b) => a.recall - b.recall);
  const due = byRecall.filter(({ card }) => card.due <= now);
  const early = byRecall.filter(({ card }) => card.due > now);
  const fresh = shuffled(
    random,
    keys.filter(({ key }) => !cards.has(key)),
  );
  const booth = boothOf(options);
  const out: Planned[] = [];
  const take = (list: readonly { key: ItemKey; deckId: string }[], why: Planned['why'], most: number) => {
    const chosen = weighted(list, Math.max(0, Math.min(most, places - out.length)), booth);
    out.push(...chosen.map(({ key }): Planned => ({ key, baseline: false, why })));
  };
  take(due, 'due', places);
  const newOnes = Math.ceil(places * NEW_SHARE);
  take(fresh, 'new', newOnes);
  take(early, 'early', places);
  // A first session: the new keys again and again, each time another item.
  const again = out.length ? [...out] : [];
  for (let i = 0; again.length && out.length < places; i++) {
    out.push({ ...again[i % again.length], why: 'early' });
  }
  return out;
}

const boothOf = ({ mode, boothDeckIds }: PlanOptions): ReadonlySet<string> | null =>
  mode === 'tonight' && boothDeckIds.length ? new Set(boothDeckIds) : null;

/** The first `count` of the list, of which BOOTH_SHARE are of the booth's decks as far as there are any. */
function weighted<T extends { deckId: string }>(
  list: readonly T[],
  count: number,
  booth: ReadonlySet<string> | null,
): T[] {
  if (!booth) return list.slice(0, count);
  const mine = list.filter(({ deckId }) => booth.has(deckId));
  const others = list.filter(({ deckId }) => !booth.has(deckId));
  const ours = Math.min(mine.length, Math.max(Math.ceil(count * BOOTH_SHARE), count - others.length));
  return [...mine.slice(0, ours), ...others.slice(0, count - ours)];
}

/** Baselines for the decks and drills that were asked on the richest display least, against what was trained. */
function baselinesFor(
  keys: readonly PlanKey[],
  history: readonly AnswerRecord[],
  count: number,
  options: PlanOptions,
  random: Random,
): Planned[] {
  const booth = boothOf(options);
  const possible = keys.filter(({ baseline, deckId }) => baseline && (!booth || booth.has(deckId)));
  const group = (deckId: string, drill: string) => `${deckId}/${drill}`;
  const asked = new Map<string, number>();
  for (const { baseline, deckId, drill } of history) {
    const name = group(deckId, drill);
    if (baseline) asked.set(name, (asked.get(name) ?? 0) + 1);
  }
  const out: Planned[] = [];
  while (out.length < count && possible.length) {
    const times = ({ deckId, drill }: PlanKey) => asked.get(group(deckId, drill)) ?? 0;
    const least = Math.min(...possible.map(times));
    const key = pick(
      random,
      possible.filter((each) => times(each) === least),
    ) as PlanKey;
    asked.set(group(key.deckId, key.drill), least + 1);
    out.push({ key: key.key, baseline: true, why: 'baseline' });
  }
  return out;
}

/** In random order, but as far as possible never the same key, nor the same drill, twice in a row. */
function spread(items: readonly Planned[], random: Random): Planned[] {
  const left = shuffled(random, items);
  const out: Planned[] = [];
  while (left.length) {
    const last = out.at(-1);
    const drill = last && partsOf(last.key).drill;
    let next = left.findIndex(({ key }) => partsOf(key).drill !== drill);
    if (next < 0) next = left.findIndex(({ key }) => key !== last?.key);
    out.push(...left.splice(Math.max(0, next), 1));
  }
  return out;
}

/** What is asked with an answer that is kept. */
type Asked = DrillItem | LoadingItem;

/** What is kept of an answer. */
export function recordOf(item: Asked, score: Score, at: number): AnswerRecord {
  const { key, drill, section, deckId, shownDeckId, baseline } = item;
  return { ...score, at, key, drill, section, deckId, shownDeckId, baseline, trackId: item.held.trackId };
}

export interface Answered {
  session: Session;
  record: AnswerRecord;
  /** The card to store; null for a baseline, which does not move the schedule. */
  card: CardRecord | null;
}

/** The session after an answer, with what is to be stored besides. Nothing given is changed. */
export function answered(
  session: Session,
  item: Asked,
  score: Score,
  card: CardRecord | null,
  now: number,
): Answered {
  const record = recordOf(item, score, now);
  return {
    session: { ...session, at: session.at + 1, answers: [...session.answers, record] },
    record,
    card: item.baseline ? null : afterAnswer(card, item.key, score, now),
  };
}

/** The session without its open item, for one that can no longer be made (its track was removed). */
export const skipped = (session: Session): Session => ({
  ...session,
  items: session.items.toSpliced(session.at, 1),
});

export const openItem = (session: Session): PlannedItem | null => session.items[session.at] ?? null;

/** The last moment that a `Date` can hold, ms since 1970 (ECMAScript: Time Values and Time Range). */
export const LAST_MOMENT = 8.64e15;

/** A stored session as it was, or null when `value` is none or of another version. */
export function readSession(value: unknown): Session | null {
  const session = value as Session | null;
  if (typeof session !== 'object' || session?.version !== 1) return null;
  const { items, at, answers, startedAt, tracks = [] } = session;
  const whole =
    Array.isArray(items) &&
    Array.isArray(answers) &&
    Array.isArray(tracks) &&
    tracks.every((id) => typeof id === 'string') &&
    typeof startedAt === 'number' &&
    startedAt >= 0 &&
    startedAt <= LAST_MOMENT &&
    Number.isInteger(at) &&
    at >= 0 &&
    at <= items.length &&
    items.every((item) => typeof item?.key === 'string' && Number.isInteger(item.seed));
  return whole ? session : null;
}
