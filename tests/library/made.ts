/** A booth, a set and some training, as the stores keep them. */
import { DAY_MS, replay } from '../../shared/drills/cards.ts';
import { handKept } from '../../shared/drills/hands.ts';
import { keyOf } from '../../shared/drills/make.ts';
import type { AnswerRecord, HandRecord, Session } from '../../shared/drills/types.ts';
import { entryOf, newSet } from '../../shared/gig/set.ts';
import type { Booth, GigSet } from '../../shared/gig/types.ts';
import type { LibraryDb } from '../../src/library/schema.ts';

export const booth = (changes: Partial<Booth> = {}): Booth => ({
  id: 'cellar',
  name: 'Cellar',
  decks: [{ profileId: 'mine', count: 2, linked: true }],
  notes: '',
  ...changes,
});
export const set = (changes: Partial<GigSet> = {}): GigSet => ({
  ...newSet('friday', 'Friday'),
  boothId: 'cellar',
  entries: [entryOf({ id: 'a', title: 'A', artist: null, fileName: 'a.wav' }, 'e1')],
  ...changes,
});

/** A recording of a rehearsal. */
export const mix = (id: string) => ({
  ...{ id, at: DAY_MS, profile: { id: 'small-touch', name: 'Small touch' } },
  performance: {
    track: { id: 'a', name: 'A', duration: 8 },
    moves: [{ time: 1, press: { kind: 'play' } }],
    ...{ position: 0, playing: true },
  },
});

export const KEY = keyOf('small-touch', 'find-drop', 'drop');
export const answer = (day: number, changes: Partial<AnswerRecord> = {}): AnswerRecord => ({
  ...{ at: day * DAY_MS, key: KEY, drill: 'find-drop', section: 'drop', deckId: 'small-touch' },
  ...{ shownDeckId: 'small-touch', baseline: false, trackId: 'a', errorBars: 0.5, errorMs: 960 },
  ...{ correct: 1, hit: true, chance: 0.1, responseSeconds: 4, confidence: 0.75, grade: 3 },
  ...changes,
});
export const round = (day: number, presses = 2): HandRecord =>
  handKept(
    {
      ...{ deckId: 'small-touch', drill: 'reach-slot', done: true, ended: null, presses, fewest: 2 },
      ...{ seconds: 2, leastSeconds: 0.5, errorMs: null, bestErrorMs: null },
    },
    null,
    day * DAY_MS,
  ).record;
export const SESSION: Session = {
  ...{ version: 1, minutes: 5, mode: 'everyday', startedAt: 3, at: 0, answers: [] },
  items: [{ key: KEY, baseline: false, withSound: false, seed: 1, why: 'new' }],
};

/** Answers and rounds with the cards that they lead to. */
export async function train(
  db: LibraryDb,
  answers: AnswerRecord[],
  rounds: HandRecord[] = [],
): Promise<void> {
  for (const record of answers) await db.add('answers', record);
  for (const record of rounds) await db.add('hands', record);
  for (const card of replay([...answers, ...rounds]).cards.values()) await db.put('cards', card);
}
