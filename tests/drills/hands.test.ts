/** Hand drills among the others: graded, scheduled, told, written out, and clicked on the beat. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drills, isRefusal } from '../../shared/behaviour/drills/drills.ts';
import { type DrillId, DRILLS } from '../../shared/behaviour/drills/machine.ts';
import { DAY_MS, replay } from '../../shared/drills/cards.ts';
import { handsCsv } from '../../shared/drills/csv.ts';
import {
  deckHas,
  gradeOfHand,
  handAnswered,
  handKept,
  type HandKey,
  handKey,
  handKeys,
  handPartsOf,
  handsOn,
  handsOverTime,
  handSummaries,
  POINT_ROUNDS,
} from '../../shared/drills/hands.ts';
import type { HandRecord, HandResult } from '../../shared/drills/types.ts';
import { availableKeys, keyOf } from '../../shared/drills/make.ts';
import { seeded } from '../../shared/drills/random.ts';
import { openItem, planSession, type PlanOptions, readSession } from '../../shared/drills/session.ts';
import { type Beat, beatsAhead } from '../../src/train/hands/beats.ts';
import { DECKS, LIBRARY, poor, small, strip, wide } from './tracks.ts';

const NOW = Date.UTC(2026, 10, 1, 20);
const OPTIONS: PlanOptions = { minutes: 20, mode: 'everyday', boothDeckIds: [], sound: false };

const result = (changes: Partial<HandResult> = {}): HandResult => ({
  deckId: small.id,
  drill: 'two-loops',
  done: true,
  ended: null,
  presses: 2,
  fewest: 2,
  seconds: 1.5,
  leastSeconds: 0.5,
  errorMs: 0,
  bestErrorMs: 0,
  ...changes,
});
const kept = (changes: Partial<HandResult>, at: number): HandRecord =>
  handKept(result(changes), null, at).record;
const allKeys = () => [...handKeys(DECKS)].filter((key): key is HandKey => key !== null);

describe('the grade of a round', () => {
  it('again without the goal, easy by the best way at once, hard by a long way round or slowly', () => {
    const grade = (changes: Partial<HandResult>) => gradeOfHand(result(changes));
    expect(grade({ done: false, ended: 'given-up' })).toBe(1);
    expect(grade({})).toBe(4);
    expect(grade({ seconds: 3 })).toBe(3);
    expect(grade({ presses: 3 })).toBe(3);
    expect(grade({ presses: 4 })).toBe(2);
    expect(grade({ seconds: 9 })).toBe(2);
    // A way of 94 presses forgives more than one of two.
    expect(grade({ fewest: 94, presses: 130 })).toBe(3);
  });

  it('never rises with presses or time, and without the goal it is always again', () => {
    const any = fc.record({
      presses: fc.nat(40),
      fewest: fc.integer({ min: 1, max: 20 }),
      seconds: fc.double({ min: 0, max: 60, noNaN: true }),
      leastSeconds: fc.double({ min: 0, max: 10, noNaN: true }),
    });
    fc.assert(
      fc.property(any, fc.nat(9), fc.double({ min: 0, max: 9, noNaN: true }), (round, more, later) => {
        const worse = { ...round, presses: round.presses + more, seconds: round.seconds + later };
        expect(gradeOfHand(result(worse))).toBeLessThanOrEqual(gradeOfHand(result(round)));
        expect(gradeOfHand(result({ ...round, done: false }))).toBe(1);
      }),
    );
  });
});

describe('the schedule of hand drills', () => {
  it('has a key for every drill that a deck has, and none for those that it has not', () => {
    const on = (id: string) => allKeys().flatMap(({ deckId, drill }) => (deckId === id ? [drill] : []));
    expect(on(wide.id)).toEqual(['two-loops', 'find-by-letter', 'hear-first', 'drive-pulled']);
    expect(on(small.id)).toEqual([
      'reach-slot',
      'shorten-loop',
      'two-loops',
      'find-by-letter',
      'hear-first',
      'drive-pulled',
    ]);
    expect(on(poor.id)).toEqual([
      'recall-before-drop',
      'shorten-loop',
      'two-loops',
      'find-by-letter',
      'hear-first',
      'drive-pulled',
    ]);
    expect(handPartsOf(handKey('a', 'reach-slot'))).toEqual({ deckId: 'a', drill: 'reach-slot' });
    expect(handPartsOf(keyOf('a', 'find-drop', 'drop'))).toBeNull();
  });

  it('keeps a card per deck and drill that is the replay of its rounds', () => {
    const records: HandRecord[] = [];
    let card = null;
    for (const [i, presses] of [2, 4, 3, 2].entries()) {
      const next = handKept(result({ presses }), card, NOW + i * 3 * DAY_MS);
      records.push(next.record);
      card = next.card;
    }
    expect(records.map(({ grade }) => grade)).toEqual([4, 2, 3, 4]);
    expect(replay(records).cards.get(handKey(small.id, 'two-loops'))).toEqual(card);
    expect(card!.due).toBeGreaterThan(NOW + 9 * DAY_MS);
  });

  it('plans them among the reading drills, due ones first, and goes on from a stored session', () => {
    const reading = availableKeys(LIBRARY, DECKS);
    const due = handKept(result({ done: false, ended: 'spoilt' }), null, NOW - 20 * DAY_MS).card;
    const cards = new Map([[due.key, due]]);
    const session = planSession(OPTIONS, [...reading, ...allKeys()], cards, [], NOW, seeded(4));
    const hands = session.items.filter(({ key }) => handPartsOf(key));
    // Once because it is due; the same again where time is left.
    expect(hands.filter(({ key, why }) => key === due.key && why === 'due')).toHaveLength(1);
    expect(session.items.length).toBeGreaterThan(hands.length);
    expect(hands.length).toBeGreaterThan(1);
    expect(hands.every(({ baseline, withSound }) => !baseline && !withSound)).toBe(true);

    const next = handAnswered(session, kept({}, NOW));
    expect([next.at, next.hands?.length, next.answers.length]).toEqual([1, 1, 0]);
    expect(readSession(JSON.parse(JSON.stringify(next)))).toEqual(next);
    expect(openItem(next)).toEqual(session.items[1]);
  });

  it('plans a session of nothing else, and of one drill alone', () => {
    const session = planSession(OPTIONS, allKeys(), new Map(), [], NOW, seeded(1));
    expect(session.items.length).toBeGreaterThan(10);
    const [one] = allKeys();
    const alone = planSession({ ...OPTIONS, minutes: 5 }, [one], new Map(), [], NOW, seeded(1));
    expect(new Set(alone.items.map(({ key }) => key))).toEqual(new Set([one.key]));
  });

  it('says which drill a deck has', () => {
    expect(deckHas('find-drop', poor, DECKS)).toBe(true);
    expect(deckHas('bars-to-change', poor, DECKS)).toBe(false);
    expect(deckHas('same-on-rich', wide, DECKS)).toBe(false);
    expect(deckHas('reach-slot', small, DECKS)).toBe(true);
    expect(deckHas('reach-slot', poor, DECKS)).toBe(false);
  });
});

describe('what is told of the rounds', () => {
  const rounds = [
    kept({ presses: 5, seconds: 9 }, NOW),
    kept({ presses: 3, seconds: 4 }, NOW + 1),
    kept({ presses: 2, seconds: 6 }, NOW + 2),
    kept({ presses: 2, seconds: 3, done: false, ended: 'spoilt' }, NOW + 3),
    kept({ drill: 'drive-pulled', done: false, ended: 'given-up', presses: 0, seconds: 0 }, NOW + 4),
    kept({ deckId: 'other' }, NOW + 5),
  ];

  it('per deck and drill: rounds, goals, the last and the best way', () => {
    const [loops, pulled, ...rest] = handSummaries(handsOn(rounds, small.id));
    expect(rest).toEqual([]);
    expect(loops).toMatchObject({ drill: 'two-loops', rounds: 4, reached: 3 });
    expect([loops.last, loops.best]).toEqual([rounds[2], rounds[2]]);
    expect(pulled).toMatchObject({ drill: 'drive-pulled', rounds: 1, reached: 0, last: null, best: null });
  });

  it('over time: medians of what was over the least, from enough rounds on', () => {
    expect(handsOverTime(rounds)).toEqual([]);
    const many = Array.from({ length: POINT_ROUNDS * 2 + 2 }, (_, i) =>
      kept({ seconds: 0.5 + (i < POINT_ROUNDS ? 8 : 2) }, NOW + i),
    );
    const [first, second, ...more] = handsOverTime(many);
    expect(more).toEqual([]);
    expect([first.value, first.count, second.value, second.count]).toEqual([8, 6, 2, 8]);
    expect(first.at).toBeLessThan(second.at);
  });

  it('as CSV: one line per round, empty where there is nothing', () => {
    const [head, line, given] = handsCsv([rounds[0], rounds[4]]).split('\r\n');
    expect(head).toBe(
      'time,deck,drill,goal_reached,ended,presses,fewest_presses,seconds,least_seconds,error_ms,best_error_ms,grade',
    );
    expect(line).toBe('2026-11-01T20:00:00.000Z,small-touch,two-loops,true,,5,2,9,0.5,0,0,2');
    expect(given).toContain('drive-pulled,false,given-up,0,');
  });
});

describe('the clicks', () => {
  const machineOf = (drill: DrillId, deck: (typeof DECKS)[number]) => {
    const machine = drills[drill](deck);
    if (isRefusal(machine)) throw new Error('no drill');
    return machine;
  };

  it('fall on the beats of the loop as it turns, high at its start', () => {
    // 125 beats per minute; the loop of 4 is entered at 0.3 of it: 1.2 beats in.
    const machine = machineOf('shorten-loop', small);
    const beats = beatsAhead(machine, machine.start, 0, 3);
    const expected = [2, 3, 4, 5, 6, 7].map((beat) => (beat - 1.2) * 0.48);
    expect(beats.map(({ first }) => first)).toEqual([false, false, true, false, false, false]);
    beats.forEach(({ time }, i) => expect(Math.abs(time - expected[i])).toBeLessThan(2e-4));
  });

  it('are the same however often one looks', () => {
    const machine = machineOf('shorten-loop', strip);
    const whole = beatsAhead(machine, machine.start, 0, 4);
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0.005, max: 0.2, noNaN: true }), { minLength: 40 }), (steps) => {
        const pieces: Beat[] = [];
        let at = 0;
        for (const step of steps) {
          const to = Math.min(4, at + step);
          pieces.push(...beatsAhead(machine, machine.start, at, to));
          at = to;
        }
        const heard = whole.filter(({ time }) => time <= at - 1e-3);
        expect(pieces.length).toBeGreaterThanOrEqual(heard.length);
        heard.forEach(({ time, first }, i) => {
          expect(Math.abs(pieces[i].time - time)).toBeLessThan(2e-4);
          expect(pieces[i].first).toBe(first);
        });
      }),
      { numRuns: 20 },
    );
  });

  it('stop while the deck is silent, and never come for the list', () => {
    const silent = machineOf('drive-pulled', poor);
    expect(beatsAhead(silent, silent.start, 0, 3)).toEqual([]);
    const list = machineOf('find-by-letter', wide);
    expect(beatsAhead(list, list.start, 0, 3)).toEqual([]);
    expect(DRILLS).toContain('drive-pulled');
  });

  it('leave out the middle of a beat that a loop out of time jumps into', () => {
    const machine = machineOf('shorten-loop', small);
    // Halved half a beat before the loop's third one, on a deck that starts the new loop at once.
    const halve = machine.presses(machine.start).find(({ kind }) => kind === 'loop-halve')!;
    const state = machine.press(machine.passTo(machine.start, 0.6 * 0.48), halve);
    const at = machine.now(state);
    const beats = beatsAhead(machine, state, at, at + 2);
    expect(beats.length).toBeGreaterThan(2);
    for (const { time } of beats) {
      const inLoop = (time - at) / 0.48;
      expect(Math.abs(inLoop - Math.round(inLoop))).toBeLessThan(1e-2);
    }
  });
});
