/** Recording, keys of the controls, and what a linked deck knows of the other. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { positionAt } from '../../shared/behaviour/movement.ts';
import { pressesOf } from '../../shared/behaviour/press.ts';
import { reduce } from '../../shared/behaviour/reduce.ts';
import { emptyPerformance, opening, replay } from '../../shared/behaviour/what-if/performance.ts';
import { controlsOf } from '../../src/rehearse/controls.ts';
import { onGrid } from '../../src/rehearse/linked.ts';
import { MOST_MOVES, recorded, shifted } from '../../src/rehearse/recording.ts';
import { anyDeck, decks, tick, track, wide } from '../behaviour/decks.ts';

const start = emptyPerformance(track(), { position: 48 });

describe('recording', () => {
  it('takes a fader that is being moved as one press where it stops', () => {
    let performance = start;
    for (let i = 0; i <= 20; i++)
      performance = recorded(performance, 1 + i * 0.05, { kind: 'tempo', fader: i / 20 });
    performance = recorded(performance, 4, { kind: 'tempo', fader: 0 });
    expect(performance.moves).toEqual([
      { time: 2, press: { kind: 'tempo', fader: 1 } },
      { time: 4, press: { kind: 'tempo', fader: 0 } },
    ]);
  });

  it('keeps the order where clocks disagree, and ends at the limit', () => {
    let performance = recorded(start, 1, { kind: 'play' });
    performance = recorded(performance, 0.99, { kind: 'play' });
    expect(performance.moves.map(({ time }) => time)).toEqual([1, 1]);
    for (let i = 0; i < MOST_MOVES + 5; i++) performance = recorded(performance, 2 + i, { kind: 'play' });
    expect(performance.moves).toHaveLength(MOST_MOVES);
  });

  it('on a deck whose clock stands elsewhere is the same performance', () => {
    const by = 73.5;
    const moves = [
      [0.3, { kind: 'loop-length', beats: 4 }],
      [2.9, { kind: 'loop-halve' }],
      [4.1, { kind: 'loop-exit' }],
      [4.4, { kind: 'hot-cue', button: 2 }],
    ] as const;
    let deck = shifted(opening(start, wide), by);
    let performance = start;
    for (const [time, press] of moves) {
      deck = reduce(reduce(deck, tick(by + time), wide).state, press, wide).state;
      performance = recorded(performance, time, press);
    }
    const again = replay(performance, wide).end;
    for (const later of [0, 0.7, 3]) {
      const there = reduce(again, tick(4.4 + later), wide).state;
      const here = reduce(deck, tick(by + 4.4 + later), wide).state;
      expect(positionAt(here)).toBeCloseTo(positionAt(there), 9);
    }
  });
});

describe('controls', () => {
  it('are what the profile has, each key once, whatever the profile', () => {
    fc.assert(
      fc.property(anyDeck, (profile) => {
        const has = pressesOf(profile).map((press) => JSON.stringify(press));
        const controls = controlsOf(profile);
        for (const { press } of controls) expect(has).toContain(JSON.stringify(press));
        const keys = controls.flatMap(({ key }) => key ?? []);
        expect(new Set(keys).size).toBe(keys.length);
        expect(new Set(controls.map(({ id }) => id)).size).toBe(controls.length);
      }),
    );
  });

  it('of the shipped decks all have a key, but for the many jumps of a screen', () => {
    for (const profile of decks) {
      for (const { key, press } of controlsOf(profile)) {
        if (press.kind !== 'screen-jump') expect(key, `${profile.id}: ${press.kind}`).not.toBeNull();
      }
    }
  });
});

describe('what a linked deck knows', () => {
  const known = { bpm: 120, time: 10, beat: 3 };
  it('still holds while the other one plays on', () => {
    expect(onGrid(known, { bpm: 120, time: 10.5, beat: 4 })).toBe(true);
    // Jumped by whole beats: the beat is the same.
    expect(onGrid(known, { bpm: 120, time: 10.5, beat: 36 })).toBe(true);
  });
  it('does not after another tempo or a jump off the beat', () => {
    expect(onGrid(known, { bpm: 121, time: 10.5, beat: 4 })).toBe(false);
    expect(onGrid(known, { bpm: 120, time: 10.5, beat: 4.3 })).toBe(false);
    expect(onGrid(null, known)).toBe(false);
  });
});
