import { createEmptyCard, default_w, fsrs, Rating } from 'ts-fsrs';
import { describe, expect, it } from 'vitest';
import {
  afterAnswer,
  DAY_MS,
  newCard,
  recallAfter,
  replay,
  retrievability,
} from '../../shared/drills/cards.ts';
import { type AvailableKey, keyOf, partsOf } from '../../shared/drills/make.ts';
import { seeded } from '../../shared/drills/random.ts';
import {
  answered,
  BASELINE_SHARE,
  BOOTH_SHARE,
  itemsIn,
  NEW_SHARE,
  openItem,
  type PlanOptions,
  planSession,
  readSession,
  skipped,
} from '../../shared/drills/session.ts';
import type {
  AnswerRecord,
  CardRecord,
  DrillItem,
  Grade,
  Score,
  Session,
} from '../../shared/drills/types.ts';

const NOW = Date.UTC(2026, 2, 1, 20);
const KEY = keyOf('small-touch', 'find-drop', 'drop');
const answer = (card: CardRecord | null, grade: Grade, at: number) => afterAnswer(card, KEY, { grade }, at);
/** Answered whenever it is due. */
function onTime(grades: Grade[]): CardRecord[] {
  const cards: CardRecord[] = [];
  for (const grade of grades) {
    const last = cards.at(-1) ?? null;
    cards.push(answer(last, grade, last ? last.due : NOW));
  }
  return cards;
}
const interval = (card: CardRecord) => (card.due - (card.lastReview ?? 0)) / DAY_MS;

describe('cards follow the published scheduler', () => {
  it('answer by answer as the package itself', () => {
    const theirs = fsrs();
    const grades: Grade[] = [3, 3, 3, 1, 3, 2, 4, 3, 1, 3, 3];
    let card = createEmptyCard(new Date(NOW));
    let at = NOW;
    let ours: CardRecord | null = null;
    for (const grade of grades) {
      card = theirs.next(card, new Date(at), grade).card;
      // As it comes back from storage.
      ours = JSON.parse(JSON.stringify(answer(ours, grade, at))) as CardRecord;
      expect(ours).toMatchObject({
        due: card.due.getTime(),
        stability: card.stability,
        difficulty: card.difficulty,
        reps: card.reps,
        lapses: card.lapses,
        state: card.state,
      });
      at = card.due.getTime() + 3_600_000;
    }
  });

  it('the first stability is that of the default parameters', () => {
    for (const grade of [Rating.Again, Rating.Hard, Rating.Good, Rating.Easy] as Grade[]) {
      expect(answer(null, grade, NOW).stability).toBeCloseTo(default_w[grade - 1], 6);
    }
  });

  it('intervals grow on good, more on easy and less on hard, and shrink on again', () => {
    const good = onTime([3, 3, 3, 3, 3, 3]).slice(1);
    for (let i = 1; i < good.length; i++) expect(interval(good[i])).toBeGreaterThan(interval(good[i - 1]));
    const known = good[good.length - 1];
    const after = ([1, 2, 3, 4] as Grade[]).map((grade) => answer(known, grade, known.due));
    for (let i = 1; i < 4; i++) expect(interval(after[i])).toBeGreaterThan(interval(after[i - 1]));
    expect(after[0].stability).toBeLessThan(known.stability);
    expect(after[0].lapses).toBe(known.lapses + 1);
  });

  it('is due when nine in ten are still known', () => {
    const [, , known] = onTime([3, 3, 3]);
    expect(recallAfter(known, known.stability, 1)).toBeCloseTo(0.9, 6);
    expect(retrievability(known, known.due)).toBeCloseTo(0.9, 1);
    expect(retrievability(known, known.due + 30 * DAY_MS)).toBeLessThan(retrievability(known, known.due));
    expect(recallAfter(known, 5, 2)).toBeCloseTo(recallAfter(known, 10, 1), 12);
    expect(retrievability(newCard(KEY, NOW), NOW)).toBe(0);
  });

  it('a damaged card is begun anew, so that the answer counts', () => {
    const key = 'small-touch/find-drop/drop';
    const sound = afterAnswer(null, key, { grade: 3 }, 0);
    for (const damage of [{ difficulty: 0 }, { difficulty: 11 }, { stability: 0 }, { stability: NaN }]) {
      const after = afterAnswer({ ...sound, ...damage }, key, { grade: 3 }, DAY_MS);
      expect(after).toEqual(afterAnswer(null, key, { grade: 3 }, DAY_MS));
    }
  });

  it('are made anew from the answers', () => {
    const records = [3, 1, 3, 3].map((grade, i) => record({ grade: grade as Grade, at: NOW + i * DAY_MS }));
    let card: CardRecord | null = null;
    for (const { grade, at } of records) card = answer(card, grade, at);
    const baseline = record({ baseline: true, grade: 1, at: NOW + DAY_MS / 2 });
    expect(replay([...records.reverse(), baseline]).cards.get(KEY)).toEqual(card);
  });
});

function record(changes: Partial<AnswerRecord> = {}): AnswerRecord {
  const { deckId, drill } = partsOf(changes.key ?? KEY);
  return {
    ...score(3),
    at: NOW,
    key: KEY,
    drill,
    section: 'drop',
    deckId,
    shownDeckId: deckId,
    baseline: false,
    trackId: 't',
    ...changes,
  };
}

function score(grade: Grade): Score {
  return {
    errorBars: 0,
    errorMs: 0,
    correct: 1,
    hit: grade > 1,
    chance: 0.1,
    responseSeconds: 15,
    confidence: 0.5,
    grade,
  };
}

const KEYS: AvailableKey[] = ['wide-touch', 'small-touch', 'touch-strip', 'overview-only'].flatMap((deckId) =>
  (['find-drop', 'heard-strip', 'bass-here', 'read-time'] as const).flatMap((drill) =>
    (['intro', 'drop', 'breakdown'] as const).map((section): AvailableKey => ({
      key: keyOf(deckId, drill, section),
      deckId,
      drill,
      section,
      baseline: deckId !== 'wide-touch',
      sound: drill === 'heard-strip' ? 'always' : drill === 'find-drop' ? 'optional' : 'never',
    })),
  ),
);
const everyday: PlanOptions = { minutes: 10, mode: 'everyday', boothDeckIds: [], sound: true };
const tonight: PlanOptions = { ...everyday, mode: 'tonight', boothDeckIds: ['overview-only'] };
const none = new Map<string, CardRecord>();
const plan = (options: PlanOptions, cards = none, history: AnswerRecord[] = [], seed = 4) =>
  planSession(options, KEYS, cards, history, NOW, seeded(seed));

/** Cards of the first `count` keys, the earlier ones the more forgotten; `dueIn` days. */
const cardsFor = (keys: readonly AvailableKey[], dueIn: number) =>
  new Map(
    keys.map(({ key }, i): [string, CardRecord] => {
      const lastReview = NOW - (20 - i * 0.1) * DAY_MS;
      return [
        key,
        {
          ...newCard(key, NOW),
          key,
          reps: 3,
          state: 2,
          stability: 10,
          due: NOW + dueIn * DAY_MS,
          lastReview,
        },
      ];
    }),
  );

describe('planning a session', () => {
  it('fills its minutes, by the person’s own times once they are known', () => {
    for (const minutes of [5, 10, 20] as const) {
      expect(plan({ ...everyday, minutes }).items).toHaveLength(itemsIn(minutes, []));
    }
    const quick = Array.from({ length: 20 }, () => record({ responseSeconds: 2 }));
    const slow = Array.from({ length: 20 }, () => record({ responseSeconds: 40 }));
    expect(itemsIn(10, quick)).toBe(50);
    expect(itemsIn(10, slow)).toBe(12);
    expect(planSession(everyday, [], none, [], NOW, seeded(1)).items).toEqual([]);
  });

  it('takes what is due first, the most forgotten of it', () => {
    const cards = cardsFor(KEYS.slice(0, 40), -1);
    const { items } = plan(everyday, cards);
    const trained = items.filter(({ baseline }) => !baseline);
    expect(trained.every(({ why }) => why === 'due')).toBe(true);
    const wanted = KEYS.slice(0, trained.length).map(({ key }) => key);
    expect(trained.map(({ key }) => key).sort()).toEqual(wanted.sort());
  });

  it('limits the new ones, and goes on with what is not due yet', () => {
    const cards = cardsFor(KEYS.slice(0, 30), 5);
    const trained = plan(everyday, cards).items.filter(({ baseline }) => !baseline);
    const fresh = trained.filter(({ why }) => why === 'new');
    expect(fresh.length).toBe(Math.ceil(trained.length * NEW_SHARE));
    expect(trained.filter(({ why }) => why === 'early').length).toBe(trained.length - fresh.length);
    // A first session has a few new keys, each more than once.
    const first = plan(everyday).items.filter(({ baseline }) => !baseline);
    expect(new Set(first.map(({ key }) => key)).size).toBe(Math.ceil(first.length * NEW_SHARE));
  });

  it('shows its share on the richest display, where it was asked least', () => {
    const { items } = plan(everyday);
    const baselines = items.filter(({ baseline }) => baseline);
    expect(baselines.length).toBe(Math.round(items.length * BASELINE_SHARE));
    expect(baselines.every(({ key }) => partsOf(key).deckId !== 'wide-touch')).toBe(true);
    const often = KEYS.filter(({ deckId }) => deckId === 'small-touch').flatMap(({ key, drill }) =>
      Array.from({ length: 3 }, () => record({ key, drill, deckId: 'small-touch', baseline: true })),
    );
    for (const { key } of plan(everyday, none, often).items.filter(({ baseline }) => baseline)) {
      expect(partsOf(key).deckId).not.toBe('small-touch');
    }
  });

  it('tonight: the booth’s decks get their share, due or new', () => {
    for (const cards of [none, cardsFor(KEYS, -1), cardsFor(KEYS, 5)]) {
      const { items } = plan(tonight, cards);
      const booth = items.filter(({ key }) => partsOf(key).deckId === 'overview-only').length;
      expect(booth / items.length).toBeGreaterThanOrEqual(cards === none ? BOOTH_SHARE : 0.65);
    }
    const plainly = plan(everyday, cardsFor(KEYS, -1)).items;
    const share =
      plainly.filter(({ key }) => partsOf(key).deckId === 'overview-only').length / plainly.length;
    expect(share).toBeLessThan(0.4);
  });

  it('never asks the same drill twice in a row while there are others', () => {
    const { items } = plan({ ...everyday, minutes: 20 }, cardsFor(KEYS.slice(0, 40), -1));
    const drills = items.map(({ key }) => partsOf(key).drill);
    const repeats = drills.filter((drill, i) => i > 0 && drill === drills[i - 1]).length;
    expect(repeats).toBeLessThanOrEqual(items.length / 6);
  });

  it('without sound leaves out what must be heard', () => {
    const silent = plan({ ...everyday, sound: false, minutes: 20 }).items;
    expect(silent.some(({ key }) => partsOf(key).drill === 'heard-strip')).toBe(false);
    expect(silent.some(({ withSound }) => withSound)).toBe(false);
    const heard = plan({ ...everyday, minutes: 20 }, cardsFor(KEYS, -1)).items;
    for (const { key, withSound } of heard) {
      if (partsOf(key).drill === 'heard-strip') expect(withSound).toBe(true);
      if (partsOf(key).drill === 'bass-here') expect(withSound).toBe(false);
    }
  });
});

describe('going through a session', () => {
  const itemOf = (session: Session): DrillItem => {
    const planned = openItem(session);
    if (!planned) throw new Error('The session is over.');
    const { deckId, drill } = partsOf(planned.key);
    const { baseline, key } = planned;
    const held = { trackId: 't' } as DrillItem['held'];
    return { key, deckId, drill, baseline, section: 'drop', shownDeckId: deckId, held } as DrillItem;
  };

  it('goes on after a reload as if there had been none', () => {
    let session = plan(everyday);
    let reloaded = session;
    const cards = new Map<string, CardRecord>();
    for (let at = NOW; openItem(session); at += 20_000) {
      const item = itemOf(session);
      const step = answered(session, item, score(3), cards.get(item.key) ?? null, at);
      const again = answered(reloaded, itemOf(reloaded), score(3), cards.get(item.key) ?? null, at);
      expect(step.card === null).toBe(item.baseline);
      if (step.card) cards.set(item.key, step.card);
      session = step.session;
      reloaded = readSession(JSON.parse(JSON.stringify(again.session))) as Session;
      expect(reloaded).toEqual(session);
    }
    expect(session.answers).toHaveLength(session.items.length);
    expect(session.at).toBe(session.items.length);
    expect(cards.size).toBeGreaterThan(0);
  });

  it('skips what can no longer be asked, and reads nothing that is no session', () => {
    const session = plan(everyday);
    const next = skipped(session);
    expect(next.items).toEqual(session.items.slice(1));
    expect(openItem(next)).toEqual(session.items[1]);
    for (const value of [
      null,
      3,
      {},
      { ...session, version: 2 },
      { ...session, at: 999 },
      { ...session, items: 1 },
      { ...session, tracks: 'a' },
      { ...session, tracks: [7] },
    ]) {
      expect(readSession(value)).toBeNull();
    }
    const kept = { ...session, tracks: ['b', 'a'] };
    expect(readSession(structuredClone(kept))).toEqual(kept);
  });

  it('plans the same from the same seed', () => {
    expect(plan(everyday)).toEqual(plan(everyday));
    expect(plan(everyday, none, [], 5)).not.toEqual(plan(everyday));
  });
});
