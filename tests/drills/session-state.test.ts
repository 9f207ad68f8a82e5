/** A session as “Train” holds it: one open question at a time, how it went, and what is kept of it. */
import 'fake-indexeddb/auto';
import { afterEach, describe, expect, test } from 'vitest';
import { PRACTICE_LIST } from '../../demo/practice-list.ts';
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { solved } from '../../shared/drills/hands.ts';
import type { HandResult, Session } from '../../shared/drills/types.ts';
import { Disk } from '../../src/library/disk.ts';
import { TrainingStore } from '../../src/library/training.ts';
import { type StartOptions, TrainState } from '../../src/train/training.svelte.ts';
import { freshName, record } from '../library/helpers.ts';
import { DECKS, LIBRARY, small } from './tracks.ts';

const disks: Disk[] = [];
afterEach(() => {
  for (const disk of disks.splice(0)) disk.close();
});

const OPTIONS: StartOptions = {
  ...{ minutes: 5, mode: 'everyday', boothDeckIds: [], sound: false, hands: true },
  only: null,
};
const only = (drill: NonNullable<StartOptions['only']>['drill']): StartOptions => ({
  ...OPTIONS,
  only: { deckId: small.id, drill },
});

/** A visit to the page: the state over the store of that name, with a clock that the test moves. */
async function visit(name = freshName(), { profiles = DECKS, tracks = LIBRARY } = {}) {
  const disk = new Disk({ name, report: (sentence) => expect.unreachable(sentence) });
  await disk.open();
  disks.push(disk);
  const training = new TrainingStore(disk);
  const time = { ms: 1_000 };
  const train = new TrainState({
    shelf: {
      tracks: tracks.map(({ id }) => record(id)),
      outdated: new Set<string>(),
      training,
      analysisOf: async (id) =>
        (tracks.find((each) => each.id === id)?.analysis ?? null) as TrackAnalysis | null,
      editOf: async () => null,
      saveEdit: async () => expect.unreachable('These drills change no track.'),
    },
    profiles: () => profiles,
    practice: PRACTICE_LIST,
    now: () => 5_000,
    clock: () => time.ms,
  });
  await train.load();
  return { name, train, training, time };
}

/** The state with an open question of that kind. */
async function begun(options: StartOptions, more: Parameters<typeof visit>[1] = {}) {
  const at = await visit(undefined, more);
  expect(await at.train.start(options)).toBeNull();
  return at;
}

const round = (changes: Partial<HandResult> = {}): HandResult => {
  const best = solved('two-loops', small);
  if (best.outcome !== 'solved') throw new Error('This deck makes loops.');
  return {
    ...{ deckId: small.id, drill: 'two-loops', done: true, ended: null, errorMs: 0, bestErrorMs: 0 },
    ...{ presses: best.presses, fewest: best.presses },
    ...{ seconds: best.leastSeconds, leastSeconds: best.leastSeconds },
    ...changes,
  };
};

/** The question that is open, answered by a number. */
function open({ train }: { train: TrainState }) {
  const { asked } = train;
  if (!asked || asked.kind === 'hand') throw new Error(`Open is ${asked?.kind ?? 'nothing'}.`);
  return asked;
}
const rightOf = (asked: ReturnType<typeof open>): number => {
  const { answer } = asked.item.held;
  return answer.type === 'time' ? answer.time : answer.type === 'bars' ? answer.bars : answer.index;
};

describe.each([
  ['reading', 'find-drop'],
  ['loading', 'row-in-list'],
] as const)('a question of %s', (kind, drill) => {
  test('is answered once, stays while its outcome is looked at, and makes room for the next', async () => {
    const { train, training, time } = await begun(only(drill));
    const asked = open({ train });
    expect(asked.kind).toBe(kind);
    expect([train.place, train.outcome]).toEqual([1, null]);
    time.ms += 2_500;
    await train.answer(rightOf(asked), 0.75);
    // A second press changes nothing.
    await train.answer(rightOf(asked) + 1, 0.25);
    expect(train.asked).toEqual(asked);
    expect(train.outcome).toMatchObject({
      ...asked,
      value: rightOf(asked),
      score: { hit: true, confidence: 0.75, responseSeconds: 2.5 },
    });
    expect(train.place).toBe(1);
    const kept = await training.load();
    expect(kept.answers).toHaveLength(1);
    expect(kept.answers[0]).toMatchObject({
      ...{ at: 5_000, key: asked.item.key, drill, deckId: small.id, hit: true, responseSeconds: 2.5 },
      trackId: asked.item.held.trackId,
    });
    expect(kept.cards.map(({ key }) => key)).toEqual(asked.item.baseline ? [] : [asked.item.key]);
    expect(kept.session).toMatchObject({ at: 1, answers: kept.answers });
    train.next();
    expect([train.place, train.outcome]).toEqual([2, null]);
    expect(open({ train }).item.id).not.toBe(asked.item.id);
  });

  test('is the same one after a reload', async () => {
    const { name, train } = await begun(only(drill));
    const first = open({ train });
    await train.answer(rightOf(first), 1);
    train.next();
    const { train: again } = await visit(name);
    expect(open({ train: again })).toEqual(open({ train }));
    expect([again.place, again.outcome]).toEqual([2, null]);
  });

  test('that is left out comes no more, and is no answer', async () => {
    const { train, training } = await begun(only(drill));
    const planned = train.session!.items;
    await train.skip();
    expect(train.session!.items).toEqual(planned.slice(1));
    expect(train.place).toBe(1);
    expect(open({ train }).item.id).toBe(`${planned[1].key}/${planned[1].seed}`);
    expect(await training.load()).toMatchObject({ answers: [], session: { items: planned.slice(1), at: 0 } });
  });

  test('whose deck is gone is passed over, and with it the session', async () => {
    const { name } = await begun(only(drill));
    const { train } = await visit(name, { profiles: DECKS.filter(({ id }) => id !== small.id) });
    expect([train.asked, train.session?.items, train.done]).toEqual([null, [], true]);
  });
});

test('an outcome of reading tells why; one about a list has it in its item', async () => {
  const reading = await begun(only('find-drop'));
  await reading.train.answer(rightOf(open(reading)), 1);
  if (reading.train.outcome?.kind !== 'reading') throw new Error('no outcome of reading');
  expect(reading.train.outcome.explanation.sentence).toMatch(/^[A-Z].*\.$/);
  const loading = await begun(only('way-to-row'));
  await loading.train.answer(rightOf(open(loading)), 1);
  if (loading.train.outcome?.kind !== 'loading') throw new Error('no outcome about a list');
  expect(loading.train.outcome.item.explanation.sentences.length).toBeGreaterThan(0);
});

describe('a round of a hand drill', () => {
  /** A session with two of them, as a reload finds it. */
  async function withRounds() {
    const name = freshName();
    const first = await visit(name);
    const item = {
      key: `${small.id}/two-loops/hand`,
      baseline: false,
      withSound: false,
      why: 'new' as const,
    };
    const session: Session = {
      ...{ version: 1, minutes: 5, mode: 'everyday', startedAt: 5_000, tracks: [], at: 0, answers: [] },
      items: [
        { ...item, seed: 1 },
        { ...item, seed: 2 },
      ],
    };
    await first.training.keepSession(session, 5_000);
    return visit(name);
  }
  const HAND = { kind: 'hand', deckId: small.id, drill: 'two-loops' };

  test('ends the open question once; the next one is another round', async () => {
    const { train, training } = await withRounds();
    expect([train.asked, train.outcome, train.place]).toEqual([HAND, null, 1]);
    await train.worked(round());
    const [kept] = (await training.load()).hands;
    expect(train.outcome).toEqual({ kind: 'hand', record: kept });
    expect([train.asked, train.place, train.session?.at]).toEqual([HAND, 1, 1]);
    // Worked again before going on: a round by itself.
    await train.worked(round({ presses: 9 }));
    expect(train.outcome).toEqual({ kind: 'hand', record: kept });
    expect(await training.load()).toMatchObject({
      hands: [{ presses: kept.presses }, { presses: 9 }],
      session: { at: 1, hands: [kept] },
    });
    train.next();
    expect([train.asked, train.outcome, train.place]).toEqual([HAND, null, 2]);
  });

  test('of another drill or deck leaves the open question open', async () => {
    const { train, training } = await withRounds();
    await train.worked(round({ drill: 'hear-first' }));
    await train.worked(round({ deckId: DECKS[0].id }));
    expect([train.asked, train.outcome, train.session?.at]).toEqual([HAND, null, 0]);
    expect((await training.load()).hands).toHaveLength(2);
  });

  test('takes no number for an answer, and can be left out', async () => {
    const { train, training } = await withRounds();
    await train.answer(0, 1);
    expect([train.outcome, (await training.load()).answers]).toEqual([null, []]);
    await train.skip();
    expect([train.asked, train.session?.items.length]).toEqual([HAND, 1]);
  });
});

test('a session of all kinds asks what it planned, one after another, to its end', async () => {
  const { train, training } = await begun({ ...OPTIONS, minutes: 20 });
  const planned = train.session!.items.length;
  const kinds = new Set<string>();
  for (let place = 1; !train.done; place++) {
    const { asked } = train;
    expect(train.place).toBe(place);
    kinds.add(asked!.kind);
    if (asked!.kind === 'hand') {
      const { deckId, drill } = asked as { deckId: string; drill: HandResult['drill'] };
      await train.worked(round({ deckId, drill }));
    } else await train.answer(rightOf(open({ train })), 0.5);
    expect(train.outcome?.kind).toBe(asked!.kind);
    train.next();
  }
  expect([...kinds].sort()).toEqual(['hand', 'loading', 'reading']);
  expect([train.asked, train.outcome]).toEqual([null, null]);
  const { answers, hands, session } = await training.load();
  expect(answers.length + hands.length).toBe(train.session!.items.length);
  expect(train.session!.items.length).toBeLessThanOrEqual(planned);
  expect(session?.at).toBe(session?.items.length);
  await train.end();
  expect([train.asked, train.session, (await training.load()).session]).toEqual([null, null, null]);
});
