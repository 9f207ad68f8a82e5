/** Answers and rounds are kept with their cards and the session: all of it, or nothing. */
import 'fake-indexeddb/auto';
import { describe, expect, test } from 'vitest';
import { handAnswered, handKept } from '../../shared/drills/hands.ts';
import type { HandResult, Session } from '../../shared/drills/types.ts';
import { Disk } from '../../src/library/disk.ts';
import { TrainingStore } from '../../src/library/training.ts';
import { freshName } from './helpers.ts';

const RESULT: HandResult = {
  deckId: 'small-touch',
  drill: 'reach-slot',
  done: true,
  ended: null,
  presses: 3,
  fewest: 2,
  seconds: 2,
  leastSeconds: 0.5,
  errorMs: null,
  bestErrorMs: null,
};
const SESSION: Session = {
  version: 1,
  minutes: 5,
  mode: 'everyday',
  startedAt: 5,
  items: [{ key: 'small-touch/reach-slot/hand', baseline: false, withSound: false, seed: 1, why: 'new' }],
  at: 0,
  answers: [],
};

async function store() {
  const told: string[] = [];
  const name = freshName();
  const disk = new Disk({ name, report: (sentence) => told.push(sentence) });
  await disk.open();
  return { disk, told, training: new TrainingStore(disk) };
}

describe('training', () => {
  test('keeps rounds by themselves and in a session', async () => {
    const { disk, told, training } = await store();
    const first = handKept(RESULT, null, 10);
    await training.worked(first.record, first.card, null);
    const second = handKept({ ...RESULT, presses: 2 }, first.card, 20);
    const session = handAnswered(SESSION, second.record);
    await training.worked(second.record, second.card, session);
    expect(await training.load()).toEqual({
      answers: [],
      hands: [first.record, second.record],
      cards: [second.card],
      session,
    });
    expect(told).toEqual([]);
    disk.close();
  });

  test('keeps nothing of a round whose card cannot be kept, and says so', async () => {
    const { disk, told, training } = await store();
    const { record, card } = handKept(RESULT, null, 10);
    await training.worked(record, { ...card, key: undefined } as never, SESSION);
    expect(await training.load()).toEqual({ answers: [], hands: [], cards: [], session: null });
    expect(told).toEqual([expect.stringMatching(/^The round .*\.$/)]);
    disk.close();
  });

  test('leaves a session of another version alone', async () => {
    const { disk, training } = await store();
    await disk.db!.put('sessions', { id: 'open', session: { version: 9 } as never, savedAt: 1 });
    expect((await training.load()).session).toBeNull();
    expect(await disk.db!.get('sessions', 'open')).toMatchObject({ session: { version: 9 } });
    disk.close();
  });
});
