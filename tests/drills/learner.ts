/** A learner of known error and forgetting, who goes through planned sessions and answers by chance. */
import { daysSince, DAY_MS, recallAfter } from '../../shared/drills/cards.ts';
import { judge } from '../../shared/drills/judge.ts';
import { type AvailableKey, keyOf, partsOf } from '../../shared/drills/make.ts';
import { below } from '../../shared/drills/random.ts';
import { answered, openItem, planSession } from '../../shared/drills/session.ts';
import type {
  AnswerRecord,
  CardRecord,
  DrillItem,
  DrillKind,
  PlannedItem,
  Random,
} from '../../shared/drills/types.ts';

export const DECK = 'poor';
export const RICH = 'rich';
/** s */
const BAR = 2;
const TRACK = 200;
/** Chance of a hit of each drill; `find-drop` is answered by pointing. */
const DRILLS: [DrillKind, number][] = [
  ['find-drop', 2 / TRACK],
  ['heard-strip', 1 / 4],
  ['phase-compare', 1 / 3],
  ['bass-here', 1 / 2],
];
const SECTIONS = ['intro', 'drop', 'breakdown', 'outro'] as const;

export const KEYS: AvailableKey[] = DRILLS.flatMap(([drill]) =>
  SECTIONS.map((section): AvailableKey => ({
    key: keyOf(DECK, drill, section),
    deckId: DECK,
    drill,
    section,
    baseline: true,
    sound: 'never',
  })),
);

/** Someone who knows points within a bar, evenly; who does not, is off by one bar up to this many. */
const LOST_BARS = 9;

export interface Learner {
  /** 0..1: share that is known just after training, on the poor deck and on the richest. */
  fresh: number;
  freshRich: number;
  /** Forgets at this many times the pace of the scheduler's model. */
  pace: number;
  /** What is added to the true chance of a hit when asked for confidence. */
  boast: number;
}

/** What is true of one answer, in the same form: its expected values in place of the drawn ones. */
export interface Truth {
  bars: number | null;
  correct: number;
  hit: number;
}

export interface Life {
  records: AnswerRecord[];
  truths: Map<AnswerRecord, Truth>;
  cards: Map<string, CardRecord>;
  now: number;
}

/** A hit of pointing is within one bar: 1 up to half a bar, then falling by 1 in 7.5 bars (judge.ts). */
const CORRECT_IF_KNOWN = 0.5 + (0.5 * (8 - 0.75)) / 7.5;
const CORRECT_IF_LOST = 7 ** 2 / 2 / 7.5 / (LOST_BARS - 1);

/** Median error in bars of a pointer who hits with this chance: within one bar even, and even from there to LOST_BARS. */
export const medianBars = (hit: number): number =>
  hit >= 0.5 ? 0.5 / hit : 1 + ((0.5 - hit) / (1 - hit)) * (LOST_BARS - 1);

/** Months of ten minutes on most days, with a pause of two weeks in the middle. */
export function live(learner: Learner, days: number, random: Random): Life {
  const life: Life = { records: [], truths: new Map(), cards: new Map(), now: Date.UTC(2026, 0, 5, 20) };
  for (let day = 0; day < days; day++) {
    life.now += DAY_MS * (day === days >> 1 ? 14 : 1);
    if (random() < 0.3) continue;
    const options = { minutes: 10, mode: 'everyday', boothDeckIds: [], sound: true } as const;
    let session = planSession(options, KEYS, life.cards, life.records, life.now, random);
    for (let planned = openItem(session); planned; planned = openItem(session)) {
      const item = itemOf(planned, random);
      const { response, truth } = answer(learner, item, life, random);
      const step = answered(session, item, judge(item, response), life.cards.get(item.key) ?? null, life.now);
      session = step.session;
      life.records.push(step.record);
      life.truths.set(step.record, truth);
      if (step.card) life.cards.set(item.key, step.card);
      life.now += 20_000;
    }
  }
  return life;
}

function itemOf({ key, baseline, seed }: PlannedItem, random: Random): DrillItem {
  const { drill, deckId, section } = partsOf(key);
  const chance = DRILLS.find(([kind]) => kind === drill)?.[1] ?? 0;
  const pointing = drill === 'find-drop';
  return {
    id: `${key}/${seed}`,
    key,
    drill,
    section: section === 'any' ? 'other' : section,
    deckId,
    shownDeckId: baseline ? RICH : deckId,
    baseline,
    sound: null,
    shown: {
      question: { key: drill, params: {} },
      ask: pointing ? { by: 'pointing' } : { by: 'strip', count: Math.round(1 / chance) },
      main: null,
      options: [],
      phase: null,
      lengthSeconds: null,
    },
    held: {
      answer: pointing
        ? { type: 'time', time: 40 + random() * (TRACK - 80) }
        : { type: 'choice', index: below(random, Math.round(1 / chance)) },
      trackId: 't',
      time: 0,
      barSeconds: BAR,
      beatSeconds: BAR / 4,
      columnSeconds: 0.1,
      chance,
      options: [],
      offsetBeats: null,
      view: 'overview',
    },
  };
}

function answer(learner: Learner, item: DrillItem, { cards, now }: Life, random: Random) {
  const { held } = item;
  const card = cards.get(item.key);
  const left = card ? recallAfter(card, daysSince(card, now), learner.pace) : 1;
  const known = item.baseline ? learner.freshRich : learner.fresh * left;
  const p = held.chance + (1 - held.chance) * known;
  const hit = random() < p;
  // Spread over the bins; within each the true chance is what it is.
  const confidence = Math.min(1, Math.max(0, p + learner.boast + 0.3 * (random() - 0.5)));
  const seconds = 3 + 10 * random();
  if (held.answer.type === 'choice') {
    const { index } = held.answer;
    const others = Math.round(1 / held.chance);
    const value = hit ? index : (index + 1 + below(random, others - 1)) % others;
    return { response: { value, seconds, confidence }, truth: { bars: null, correct: p, hit: p } };
  }
  const size = hit ? random() : 1 + 1e-9 + random() * (LOST_BARS - 1);
  const time = held.answer.type === 'time' ? held.answer.time : 0;
  const value = time + (random() < 0.5 ? -1 : 1) * size * BAR;
  const truth = {
    bars: p * 0.5 + (1 - p) * (1 + (LOST_BARS - 1) / 2),
    correct: p * CORRECT_IF_KNOWN + (1 - p) * CORRECT_IF_LOST,
    hit: p,
  };
  return { response: { value, seconds, confidence }, truth };
}
