/** What restoring a backup would do with answers, rounds of hand drills, their schedule and the open session. */
import type { Graded } from '../../shared/drills/cards.ts';
import { handPartsOf } from '../../shared/drills/hands.ts';
import { partsOf } from '../../shared/drills/make.ts';
import type { AnswerRecord, CardRecord, HandRecord } from '../../shared/drills/types.ts';
import { drillTitle } from '../train/drill-title.ts';
import { identityOf, sameValue } from './backup-format.ts';
import { joinedCard } from './backup-merge.ts';
import { ask, type ImportPlan } from './backup-items.ts';
import type { SessionRecord } from './records.ts';

/** What is here. */
export interface TrainingHere {
  answers: readonly AnswerRecord[];
  hands: readonly HandRecord[];
  cards: readonly CardRecord[];
  sessions: readonly SessionRecord[];
}

const dayOf = (at: number) => new Date(at).toISOString().slice(0, 10);

export function planTraining(plan: ImportPlan, here: TrainingHere): void {
  const { backup } = plan;
  const known = new Set([...here.answers, ...here.hands].map(identityOf));
  for (const record of backup.answers) {
    const key = identityOf(record);
    const item = { store: 'answers', key, what: `answer of ${dayOf(record.at)}` } as const;
    if (known.has(key)) plan.same.push(item);
    else {
      plan.added.push(item);
      plan.writes.push({ store: 'answers', key, base: undefined, record });
      known.add(key);
    }
  }
  for (const record of backup.hands) {
    const key = identityOf(record);
    const item = { store: 'hands', key, what: `hand round of ${dayOf(record.at)}` } as const;
    if (known.has(key)) plan.same.push(item);
    else {
      plan.added.push(item);
      plan.writes.push({ store: 'hands', key, base: undefined, record });
      known.add(key);
    }
  }
  planCards(plan, here);
  planSessions(plan, here);
}

const byKey = (records: readonly Graded[]): Map<string, Graded[]> => {
  const lists = new Map<string, Graded[]>();
  for (const record of records) {
    if (record.baseline) continue;
    const list = lists.get(record.key);
    if (list) list.push(record);
    else lists.set(record.key, [record]);
  }
  return lists;
};

function planCards(plan: ImportPlan, here: TrainingHere): void {
  const { backup } = plan;
  const mineBy = byKey([...here.answers, ...here.hands]);
  const theirsBy = byKey([...backup.answers, ...backup.hands]);
  const myCards = new Map(here.cards.map((card) => [card.key, card]));
  for (const theirs of backup.cards) {
    const { key } = theirs;
    const mine = myCards.get(key);
    const { deckId, drill } = handPartsOf(key) ?? partsOf(key);
    const what = `schedule of “${drillTitle(drill)}” on the deck ${deckId}`;
    const item = { store: 'cards', key, what } as const;
    if (!mine) {
      plan.added.push(item);
      plan.writes.push({ store: 'cards', key, base: mine, record: theirs });
    } else if (sameValue(mine, theirs)) plan.same.push(item);
    else {
      const joined = joinedCard({ mine, theirs }, mineBy.get(key) ?? [], theirsBy.get(key) ?? []);
      if (!joined)
        ask(plan, { ...item, choices: ['mine', 'theirs'], sides: { store: 'cards', mine, theirs } });
      else if (sameValue(joined, mine)) plan.same.push(item);
      else {
        plan.continued.push(item);
        plan.writes.push({ store: 'cards', key, base: mine, record: joined });
      }
    }
  }
}

/** A session that was gone on with here, or ended, is not brought back: its answers are kept by themselves. */
function planSessions(plan: ImportPlan, { answers, hands, sessions }: TrainingHere): void {
  const [mine] = sessions;
  for (const theirs of plan.backup.sessions) {
    const item = {
      store: 'sessions',
      key: theirs.id,
      what: `session of ${dayOf(theirs.session.startedAt)}`,
    } as const;
    const laterHere = [...answers, ...hands].some(({ at }) => at > theirs.savedAt);
    const one = mine?.session.startedAt === theirs.session.startedAt;
    if (mine && (sameValue(mine, theirs) || (one && mine.savedAt >= theirs.savedAt))) plan.same.push(item);
    else if (!mine && laterHere) plan.same.push(item);
    else if (!mine) {
      plan.added.push(item);
      plan.writes.push({ store: 'sessions', key: theirs.id, base: mine, record: theirs });
    } else if (one) {
      plan.continued.push(item);
      plan.writes.push({ store: 'sessions', key: theirs.id, base: mine, record: theirs });
    } else ask(plan, { ...item, choices: ['mine', 'theirs'], sides: { store: 'sessions', mine, theirs } });
  }
}
