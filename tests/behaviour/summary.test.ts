/** A translated performance in short, its drills, and its moves in a set's plan. */
import { describe, expect, it } from 'vitest';
import type { Press } from '../../shared/behaviour/press.ts';
import { intendedMoves } from '../../shared/behaviour/what-if/intents.ts';
import { emptyPerformance, record, replay } from '../../shared/behaviour/what-if/performance.ts';
import { drillFor, summaryOf } from '../../shared/behaviour/what-if/summary.ts';
import { translate } from '../../shared/behaviour/what-if/translate.ts';
import { plannedMoves, withMoves } from '../../shared/gig/performed.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import { decks, plain, small, strip, track, wide } from './decks.ts';

const perform = (presses: [number, Press][], previous = false) =>
  presses.reduce(
    (p, [time, press]) => record(p, time, press),
    emptyPerformance(track(), { position: 48, previous: previous ? track(125, { id: 'before' }) : null }),
  );

describe('in short', () => {
  const mix = perform([
    [0.1, { kind: 'hot-cue', button: 6 }],
    [3, { kind: 'loop-length', beats: 4 }],
    [6, { kind: 'loop-halve' }],
    [8, { kind: 'loop-exit' }],
    [9, { kind: 'beat-jump', direction: 1 }],
  ]);

  it('on the same deck nothing fails and nothing is more', () => {
    for (const deck of decks) {
      const own = summaryOf(translate(perform([[0, { kind: 'play' }]]), deck, deck));
      expect(own).toEqual({ fail: 0, outOfTime: 0, more: 0 });
    }
    expect(summaryOf(translate(mix, wide, wide))).toEqual({ fail: 0, outOfTime: 0, more: 0 });
  });

  it('counts what fails, what is out of time and the presses more', () => {
    const moves = translate(mix, wide, small);
    // Cue 6 needs a bank; the deck has beat jumps on its screen or none.
    const summary = summaryOf(moves);
    expect(summary.fail).toBe(moves.filter(({ outcome }) => outcome === 'impossible').length);
    expect(summary.more).toBe(moves.reduce((sum, { more }) => sum + more, 0));
    expect(summary.more).toBeGreaterThanOrEqual(1);
    expect(summaryOf(translate(mix, wide, plain)).fail).toBeGreaterThanOrEqual(2);
  });

  it('a loop that falls out of time with every turn is told', () => {
    const stuck = { ...plain, quantise: { ...plain.quantise, setIn: 'none' as const } };
    const [loop] = translate(perform([[0.1, { kind: 'loop-length', beats: 4 }]]), wide, stuck);
    expect(Math.abs(loop.perTurnMs)).toBeCloseTo(100, 6);
    expect(summaryOf([loop])).toEqual({ fail: 0, outOfTime: 1, more: 0 });
    expect(drillFor(loop)).toBe('shorten-loop');
  });
});

describe('the drill of a move', () => {
  it('is the bank, the recall or the loop that it needs there', () => {
    const six = perform([[0.1, { kind: 'hot-cue', button: 6 }]]);
    expect(drillFor(translate(six, wide, small)[0])).toBe('reach-slot');
    expect(drillFor(translate(six, wide, strip)[0])).toBeNull();
    const two = perform([[0.1, { kind: 'hot-cue', button: 2 }]], true);
    expect(drillFor(translate(two, wide, plain)[0])).toBe('recall-before-drop');
    const loop = perform([[0.1, { kind: 'loop-length', beats: 8 }]]);
    expect(drillFor(translate(loop, wide, small)[0])).toBe('two-loops');
    expect(drillFor(translate(loop, wide, wide)[0])).toBeNull();
  });
});

describe('in the plan of a set', () => {
  it('each move once, the cue by its marker, the widest tempo', () => {
    const mix = perform([
      [0, { kind: 'hot-cue', button: 2 }],
      [2, { kind: 'loop-length', beats: 4 }],
      [4, { kind: 'loop-exit' }],
      [5, { kind: 'loop-length', beats: 4 }],
      [7, { kind: 'loop-exit' }],
      [8, { kind: 'beat-jump', direction: -1 }],
      [9, { kind: 'tempo', fader: 0.25 }],
      [10, { kind: 'tempo', fader: -0.5 }],
      [11, { kind: 'slip' }],
    ]);
    const marker: Marker = {
      id: 'second',
      kind: 'cue',
      time: 15.36,
      name: 'Second',
      importance: 2,
      colour: null,
      slot: 2,
    };
    const moves = plannedMoves(intendedMoves(replay(mix, wide)), mix, [marker]);
    expect(moves).toEqual([
      { kind: 'fire-cue', markerId: 'second' },
      { kind: 'make-loop', beats: 4, time: null },
      { kind: 'jump-beats', beats: -4 },
      { kind: 'slip' },
      { kind: 'shift-tempo', percent: -4 },
    ]);
    expect(withMoves(moves.slice(0, 2), moves)).toEqual(moves);
    expect(withMoves(moves, moves)).toEqual(moves);
    expect(plannedMoves(intendedMoves(replay(mix, wide)), mix, [])[0].kind).toBe('make-loop');
  });
});
