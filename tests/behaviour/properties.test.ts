/** What holds whatever is pressed. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { brokenInvariants } from '../../shared/behaviour/invariants.ts';
import { tooLong } from '../../shared/behaviour/loops.ts';
import { positionAt } from '../../shared/behaviour/movement.ts';
import { hasPress, isPress } from '../../shared/behaviour/press.ts';
import { reduce } from '../../shared/behaviour/reduce.ts';
import { type DeckState, newDeck } from '../../shared/behaviour/state.ts';
import type { Effect } from '../../shared/behaviour/effect.ts';
import { beatAtTime, timeOfBeat } from '../../shared/grid/grid.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { afterAnother, anyDeck, anyPress, anySession, anyTrack, loadedOn, playingAt, tick } from './decks.ts';

const SAMPLE = 1 / 44_100;

interface Moment {
  before: DeckState;
  after: DeckState;
  effects: Effect[];
}

/** Plays a session and shows every step to `see`. */
function play(
  start: DeckState,
  session: { wait: number; event: Parameters<typeof reduce>[1] }[],
  profile: DeckProfile,
  see: (moment: Moment) => void,
): void {
  let state = start;
  for (const { wait, event } of session) {
    for (const each of [tick(state.now + wait), event]) {
      const step = reduce(state, each, profile);
      see({ before: state, after: step.state, effects: step.effects });
      state = step.state;
    }
  }
}

describe('a deck, whatever is pressed', () => {
  it('is in no impossible state', () => {
    const seen = new Set<string>();
    fc.assert(
      fc.property(anyDeck, anyTrack, anySession, (profile, track, session) => {
        play(afterAnother(profile, track), session, profile, ({ after, effects }) => {
          effects.forEach(({ kind }) => seen.add(kind));
          expect(brokenInvariants(after, profile)).toEqual([]);
        });
      }),
      { numRuns: 1000 },
    );
    // The sessions reach far enough to say something.
    for (const kind of [
      'jump',
      'planned',
      'loop-set',
      'loop-changed',
      'stale-cue',
      'saving-loop',
      'silence',
    ]) {
      expect(seen).toContain(kind);
    }
  });

  it('never changes by a control that it lacks', () => {
    fc.assert(
      fc.property(anyDeck, anyTrack, anySession, anyPress, (profile, track, session, press) => {
        fc.pre(!hasPress(press, profile));
        let state = loadedOn(newDeck(profile), profile, track);
        play(state, session, profile, ({ after }) => (state = after));
        const step = reduce(state, press, profile);
        expect(step.state).toBe(state);
        expect(step.effects).toEqual([{ kind: 'no-such-control', press: press.kind }]);
      }),
      { numRuns: 300 },
    );
  });

  it('is data that survives being stored', () => {
    fc.assert(
      fc.property(anyDeck, anyTrack, anySession, (profile, track, session) => {
        play(loadedOn(newDeck(profile), profile, track), session, profile, ({ after }) => {
          expect(JSON.parse(JSON.stringify(after))).toEqual(withoutMinusZero(after));
        });
      }),
      { numRuns: 60 },
    );
  });

  it('changes nothing of the state that it was given', () => {
    fc.assert(
      fc.property(anyDeck, anyTrack, anySession, (profile, track, session) => {
        let state = loadedOn(newDeck(profile), profile, track);
        for (const { wait, event } of session) {
          const copy = JSON.stringify(state);
          const ticked = reduce(state, tick(state.now + wait), profile).state;
          expect(JSON.stringify(state)).toBe(copy);
          state = reduce(ticked, event, profile).state;
        }
      }),
      { numRuns: 100 },
    );
  });

  it('lands and leaves on the grid with quantise, within a sample', () => {
    let jumps = 0;
    fc.assert(
      fc.property(anyDeck, anyTrack, anySession, (profile, track, session) => {
        play(playingAt(0, profile, track), session, profile, ({ before, after, effects }) => {
          for (const effect of effects) {
            if (effect.kind !== 'planned') continue;
            jumps++;
            const { grid, duration } = after.track ?? track;
            // The track ends before that step comes.
            if (effect.from > duration) continue;
            const { step } = after.quantise;
            const off = (time: number) =>
              Math.abs(time - timeOfBeat(grid, Math.round(beatAtTime(grid, time) / step) * step));
            // Back into a loop that was set with quantise off leads to its start, wherever that is.
            if (effect.cause === 'hot-cue') expect(off(effect.to)).toBeLessThan(SAMPLE);
            const loop = after.loop?.active ? after.loop : null;
            const turn = loop && effect.from === loop.start && off(loop.start) > SAMPLE;
            if (!turn) expect(off(effect.from)).toBeLessThan(SAMPLE);
            expect(effect.atTime).toBeGreaterThanOrEqual(before.now - 1e-9);
            // The playhead is told to be there at that time.
            const arrives = positionAt(after, effect.atTime);
            const there = loop && Math.abs(arrives - loop.start) < SAMPLE ? loop.start : arrives;
            const same = Math.abs(there - effect.from) < SAMPLE;
            const wraps =
              loop !== null && Math.abs(Math.abs(there - effect.from) - (loop.end - loop.start)) < SAMPLE;
            expect(same || wraps).toBe(true);
          }
        });
      }),
      { numRuns: 1600 },
    );
    expect(jumps).toBeGreaterThan(200);
  });

  it('makes loops as long as it says, but for the ones the profile calls unreliable', () => {
    let loops = 0;
    fc.assert(
      fc.property(anyDeck, anyTrack, anySession, (profile, track, session) => {
        fc.pre(!profile.loops.unreliableWithQuantise && profile.loops.changeUnquantised !== 'unreliable');
        play(playingAt(0, profile, track), session, profile, ({ after, effects }) => {
          const { loop } = after;
          if (!loop || loop.beats === null || after.savingLoop) return;
          loops += effects.some(({ kind }) => kind === 'loop-set' || kind === 'loop-changed') ? 1 : 0;
          expect(Math.abs(tooLong(after, loop))).toBeLessThan(SAMPLE);
        });
      }),
      { numRuns: 600 },
    );
    expect(loops).toBeGreaterThan(100);
  });

  it('is at the same place however often the time is told', () => {
    fc.assert(
      fc.property(
        anyDeck,
        anyTrack,
        anySession,
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 30 }),
        (profile, track, session, cuts) => {
          let state = playingAt(0, profile, track);
          play(state, session, profile, ({ after }) => (state = after));
          const end = state.now + 10;
          let often = state;
          for (const cut of [...cuts].sort((a, b) => a - b)) {
            often = reduce(often, tick(state.now + cut * 10), profile).state;
          }
          expect(reduce(often, tick(end), profile).state).toEqual(reduce(state, tick(end), profile).state);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('never goes back in time', () => {
    fc.assert(
      fc.property(anyDeck, anyTrack, fc.double({ min: -5, max: 5, noNaN: true }), (profile, track, time) => {
        const state = reduce(playingAt(0, profile, track), tick(1), profile).state;
        const later = reduce(state, tick(time), profile).state;
        expect(later.now).toBe(Math.max(1, time));
        if (time <= 1) expect(later).toBe(state);
      }),
    );
  });

  it('tells presses from the world', () => {
    expect(isPress(tick(1))).toBe(false);
    expect(isPress({ kind: 'drive-pulled' })).toBe(false);
    expect(isPress({ kind: 'play' })).toBe(true);
  });
});

/** JSON knows no −0. */
function withoutMinusZero<T>(value: T): T {
  if (typeof value === 'number') return (value + 0) as T;
  if (Array.isArray(value)) return value.map(withoutMinusZero) as T;
  if (value && typeof value === 'object') {
    return Object.fromEntries(Object.entries(value).map(([k, v]) => [k, withoutMinusZero(v)])) as T;
  }
  return value;
}
