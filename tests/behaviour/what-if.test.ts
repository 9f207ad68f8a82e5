/** A performance on one deck, translated to another. */
import { describe, expect, it } from 'vitest';
import type { Press } from '../../shared/behaviour/press.ts';
import { positionAt } from '../../shared/behaviour/movement.ts';
import {
  emptyPerformance,
  type Performance,
  record,
  replay,
} from '../../shared/behaviour/what-if/performance.ts';
import { translate } from '../../shared/behaviour/what-if/translate.ts';
import { decks, plain, small, strip, track, wide } from './decks.ts';

/** Quantise on, playing from beat 100 (48 s). */
const perform = (presses: [number, Press][], start: Partial<Performance> = {}): Performance =>
  presses.reduce(
    (p, [time, press]) => record(p, time, press),
    emptyPerformance(track(), { position: 48, ...start }),
  );
const pressed = (steps: { kind: string }[]) => steps.map(({ kind }) => kind);

describe('recording', () => {
  it('keeps the order of time', () => {
    const one = perform([[1, { kind: 'play' }]]);
    expect(() => record(one, 0.5, { kind: 'play' })).toThrow(RangeError);
    expect(record(one, 1, { kind: 'play' }).moves).toHaveLength(2);
  });

  it('replays the same presses, and says which do not exist', () => {
    const performance = perform([[0, { kind: 'loop-length', beats: 8 }]]);
    expect(replay(performance, wide).steps[0]).toMatchObject({ exists: true });
    expect(replay(performance, plain).steps[0]).toMatchObject({ exists: false });
    expect(positionAt(replay(performance, wide).end)).toBe(48);
  });
});

describe('the same mix on another deck', () => {
  it('is the same on the same deck', () => {
    const performance = perform([
      [0, { kind: 'loop-length', beats: 4 }],
      [3, { kind: 'loop-halve' }],
      [5, { kind: 'loop-exit' }],
      [6, { kind: 'beat-jump', direction: 1 }],
      [8.2, { kind: 'hot-cue', button: 6 }],
    ]);
    const moves = translate(performance, wide, wide);
    expect(moves.map(({ move }) => move.intent.kind)).toEqual([
      'loop',
      'loop',
      'leave-loop',
      'jump-by',
      'jump-to-cue',
    ]);
    for (const { outcome, more, errorMs } of moves) {
      expect([outcome, more]).toEqual(['same', 0]);
      expect(errorMs).toBeCloseTo(0, 6);
    }
  });

  it('cue 6: a bank more on one deck, no slot on another', () => {
    const performance = perform([[0.1, { kind: 'hot-cue', button: 6 }]]);
    const [banked] = translate(performance, wide, small);
    expect(banked).toMatchObject({ outcome: 'other-presses', more: 1 });
    expect(pressed(banked.presses)).toEqual(['bank', 'hot-cue']);
    expect(banked.errorMs).toBeCloseTo(0, 6);
    expect(translate(performance, wide, strip)[0]).toMatchObject({
      outcome: 'impossible',
      reason: 'too-few-slots',
    });
  });

  it('cue 2 by hand: recall, the button, recall, then the cue', () => {
    const previous = track(125, { id: 'before' });
    // The stale cue stands at the very same place: it is stale all the same.
    const [move] = translate(perform([[0.1, { kind: 'hot-cue', button: 2 }]], { previous }), wide, plain);
    expect(pressed(move.presses)).toEqual(['recall', 'hot-cue', 'recall', 'hot-cue']);
    expect(move).toMatchObject({ outcome: 'other-presses', more: 3 });
  });

  it('a loop of 8: a long press, or out of reach', () => {
    const performance = perform([[0.1, { kind: 'loop-length', beats: 8 }]]);
    const [held] = translate(performance, wide, small);
    expect(held).toMatchObject({ outcome: 'other-presses', more: 0 });
    expect(held.presses).toEqual([{ kind: 'loop-hold' }, { kind: 'wait', seconds: 0.5 }]);
    expect(translate(performance, wide, plain)[0]).toMatchObject({
      outcome: 'impossible',
      reason: 'length-out-of-reach',
    });
  });

  it('a loop on the deck that needs quantise off: three presses in the menu first', () => {
    // Pressed on the beat, so that with quantise off it is in time.
    const [move] = translate(perform([[0.48, { kind: 'loop-length', beats: 4 }]]), wide, plain);
    expect(Math.abs(move.errorMs)).toBeLessThan(1e-6);
    expect(move.more).toBe(0);
    // 0.1 s after the beat, quantise would move only its start: each turn would be 0.1 s too long.
    const [late] = translate(perform([[0.1, { kind: 'loop-length', beats: 4 }]]), wide, plain);
    expect(pressed(late.presses)).toEqual(['menu', 'menu-turn', 'menu-choose', 'loop-length']);
    expect(late.more).toBe(3);
    expect(late.perTurnMs).toBeCloseTo(0, 6);
    // With no menu to turn it off in, that is what happens.
    const stuck = { ...plain, quantise: { ...plain.quantise, setIn: 'none' as const } };
    expect(
      translate(perform([[0.1, { kind: 'loop-length', beats: 4 }]]), wide, stuck)[0].perTurnMs,
    ).toBeCloseTo(100, 6);
  });

  it('halving with quantise off loses the beat where the length snaps', () => {
    const performance = perform([
      [0, { kind: 'quantise' }],
      [0, { kind: 'loop-length', beats: 4 }],
      [1.3, { kind: 'loop-halve' }],
    ]);
    const [, onStrip] = translate(performance, wide, { ...strip, quantise: { steps: [], setIn: 'none' } });
    // The very same press, and yet:
    expect(onStrip.outcome).toBe('same');
    // At the loop's start and not 0.34 s into it: 0.34 s behind, 0.14 s ahead of the next beat.
    expect(onStrip.errorMs).toBeCloseTo(140, 6);
    // With its quantise on the same deck keeps the place.
    expect(translate(performance, wide, strip)[1].errorMs).toBeCloseTo(0, 6);
  });

  it('beat jumps, reverse and sync as far as the deck has them', () => {
    const performance = perform([
      [0, { kind: 'jump-longer' }],
      [0, { kind: 'jump-longer' }],
      [0.2, { kind: 'beat-jump', direction: 1 }],
      [4, { kind: 'slip-reverse' }],
      [5, { kind: 'slip-reverse-release' }],
      [6, { kind: 'tempo', fader: 0.5 }],
    ]);
    const onSmall = translate(performance, wide, small);
    // 16 beats: two jumps of 8 after the page is opened, as many presses as two longer and one jump.
    expect(pressed(onSmall[0].presses)).toEqual(['jump-page', 'screen-jump', 'screen-jump']);
    expect(onSmall[0].more).toBe(0);
    expect(onSmall[0].errorMs).toBeCloseTo(0, 6);
    expect(onSmall[1].outcome).toBe('same');
    const onPlain = translate(performance, wide, plain);
    expect(onPlain.map(({ reason }) => reason)).toEqual(['no-beat-jump', 'no-slip-reverse', null]);
    expect(onPlain[2].outcome).toBe('same');
  });

  it('a loop by hand is two presses wherever no length is nearer', () => {
    // Three beats: no deck sets that at once.
    const performance = perform([
      [0.48, { kind: 'loop-in' }],
      [0.48 * 4, { kind: 'loop-out' }],
    ]);
    for (const deck of [small, strip]) {
      const [move] = translate(performance, wide, deck);
      expect(move).toMatchObject({ outcome: 'same', more: 0 });
      expect(move.errorMs).toBeCloseTo(0, 6);
      expect(move.perTurnMs).toBeCloseTo(0, 6);
    }
  });

  it('never says more of a deck than it can press', () => {
    const performance = perform([
      [0.3, { kind: 'loop-length', beats: 4 }],
      [2, { kind: 'loop-exit' }],
      [3, { kind: 'hot-cue', button: 1 }],
      [5, { kind: 'tempo', fader: 1 }],
    ]);
    for (const deck of decks) {
      for (const { outcome, reason, presses } of translate(performance, wide, deck)) {
        expect(presses.length > 0).toBe(outcome !== 'impossible');
        expect(reason === null).toBe(outcome !== 'impossible');
      }
    }
  });
});
