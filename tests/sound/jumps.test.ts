/** What is heard is the very sample that the deck's state says: loops, jumps, starts and stops. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { positionAt, rateOf } from '../../shared/behaviour/movement.ts';
import { reduce } from '../../shared/behaviour/reduce.ts';
import type { DeckState } from '../../shared/behaviour/state.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import {
  anyDeck,
  anySession,
  plain,
  playingAt,
  quantiseOff,
  small,
  strip,
  tick,
  track,
  wide,
} from '../behaviour/decks.ts';
import { type Heard, heardSample, numbered, perform, RATE, type Timed } from './play.ts';

const PCM = numbered(30);
const TRACK = track(125, {
  duration: 30,
  cues: [0, 32, 40].map((beat, i) => ({ slot: i + 1, time: beat * 0.48, name: `Cue ${i + 1}` })),
});

const heard = (from: DeckState, profile: DeckProfile, events: Timed[], seconds: number): number[] =>
  Array.from(perform(from, profile, PCM, events, seconds).left, heardSample);

describe('worked examples at 125 beats per minute', () => {
  it('plays every sample once', () => {
    const samples = heard(playingAt(1, wide, TRACK), wide, [], 1);
    samples.forEach((n, i) => expect(n).toBe(RATE + i));
  });

  it('a loop of four beats is 1.920 s, halved 0.960 s: to the sample', () => {
    const events: Timed[] = [
      { time: 0, event: { kind: 'loop-length', beats: 4 } },
      { time: 3.84 + 0.1, event: { kind: 'loop-halve' } },
    ];
    const samples = heard(playingAt(0, wide, TRACK), wide, events, 7);
    const turns = samples.flatMap((n, i) => (i && n < samples[i - 1] ? [i] : []));
    const four = 1.92 * RATE;
    const two = 0.96 * RATE;
    expect(turns).toEqual([four, 2 * four, 2 * four + two, 2 * four + 2 * two, 2 * four + 3 * two]);
    for (const turn of turns) expect(samples[turn]).toBe(0);
    for (const turn of turns.slice(0, 2)) expect(samples[turn - 1]).toBe(four - 1);
    expect(samples[turns[4] - 1]).toBe(two - 1);
  });

  it('snap-back puts the playhead at the loop’s start', () => {
    const start = quantiseOff(playingAt(4.8, strip, TRACK));
    const events: Timed[] = [
      { time: 0, event: { kind: 'loop-length', beats: 4 } },
      { time: 0.5, event: { kind: 'loop-halve' } },
    ];
    const samples = heard(start, strip, events, 1);
    const frame = 0.5 * RATE;
    expect(samples[frame - 1]).toBe(5.3 * RATE - 1);
    expect(samples[frame]).toBe(4.8 * RATE);
  });

  it('where the place is kept, halving within the first half is not heard at all', () => {
    const start = quantiseOff(playingAt(4.8, wide, TRACK));
    const events: Timed[] = [
      { time: 0, event: { kind: 'loop-length', beats: 4 } },
      { time: 0.5, event: { kind: 'loop-halve' } },
    ];
    heard(start, wide, events, 0.9).forEach((n, i) => expect(n).toBe(Math.round(4.8 * RATE) + i));
  });

  it('a quantised hot cue leaves and lands on the beat', () => {
    const events: Timed[] = [{ time: 0.3, event: { kind: 'hot-cue', button: 2 } }];
    const samples = heard(playingAt(0, wide, TRACK), wide, events, 1);
    const beat = 0.48 * RATE;
    expect(samples[beat - 1]).toBe(beat - 1);
    expect(samples[beat]).toBe(32 * beat);
  });

  it('a jump told late is in time all the same', () => {
    const start = playingAt(0, wide, TRACK);
    const events: Timed[] = [{ time: 0.3, event: { kind: 'hot-cue', button: 2 } }];
    const quick = perform(start, wide, PCM, events, 1, { every: 0.005 }).left;
    expect(perform(start, wide, PCM, events, 1, { every: 0.7 }).left).toEqual(quick);
  });

  it('slip reverse plays the samples backwards and comes back to where the track would be', () => {
    const events: Timed[] = [
      { time: 0.5, event: { kind: 'slip-reverse' } },
      { time: 1, event: { kind: 'slip-reverse-release' } },
    ];
    const samples = heard(playingAt(10, wide, TRACK), wide, events, 1.5);
    expect(samples[0.5 * RATE]).toBe(10.5 * RATE);
    expect(samples[0.5 * RATE + 1000]).toBe(10.5 * RATE - 1000);
    expect(samples[RATE]).toBe(11 * RATE);
  });

  it('the drive pulled: the saving loop, or silence', () => {
    const events: Timed[] = [{ time: 1, event: { kind: 'drive-pulled' } }];
    const saved = heard(playingAt(9.6, wide, TRACK), wide, events, 6);
    expect(saved.every((n) => n >= 0)).toBe(true);
    expect(saved.slice(2 * RATE).every((n) => n < (9.6 + 2 * 0.48 + 1.92) * RATE)).toBe(true);
    const silent = heard(playingAt(9.6, plain, TRACK), plain, events, 2);
    expect(silent[RATE - 1]).toBe(10.6 * RATE - 1);
    expect(silent.slice(RATE).every((n) => n === -1)).toBe(true);
  });

  it('stops and starts, and falls silent at the track’s end', () => {
    const events: Timed[] = [
      { time: 0.25, event: { kind: 'play' } },
      { time: 0.75, event: { kind: 'play' } },
    ];
    const samples = heard(playingAt(29.3, small, TRACK), small, events, 1.8);
    expect(samples[0.25 * RATE - 1]).toBe(29.55 * RATE - 1);
    expect(samples.slice(0.25 * RATE, 0.75 * RATE).every((n) => n === -1)).toBe(true);
    expect(samples[0.75 * RATE]).toBe(29.55 * RATE);
    const end = 1.2 * RATE;
    expect(samples[end - 1]).toBe(30 * RATE - 1);
    expect(samples.slice(end).every((n) => n === -1)).toBe(true);
  });
});

/** Number of the sample that should be heard in `frame`, by the state machine alone; null where it is not ±1 speed. */
function due(state: DeckState, profile: DeckProfile, frame: number): number | null {
  const { state: then } = reduce(state, tick(frame / RATE), profile);
  const rate = rateOf(then);
  if (rate === 0) return -1;
  return Math.abs(rate) === 1 ? positionAt(then) * RATE : null;
}

function compare(profile: DeckProfile, { left, states }: Heard, seconds: number): number {
  let compared = 0;
  for (let frame = 0; frame < seconds * RATE; frame += 101) {
    const state = states[Math.floor(frame / 128)];
    if (state.now > frame / RATE) continue;
    const expected = due(state, profile, frame);
    if (expected === null) continue;
    const sample = heardSample(left[frame]);
    const length = TRACK.duration * RATE;
    const beyond = expected < 0 || expected >= length - 1;
    const loop = state.loop?.active ? (state.loop.end - state.loop.start) * RATE : Infinity;
    const off = Math.abs(sample - expected);
    // At the turn of a loop the end is the start.
    const near = Math.min(off, Math.abs(off - loop));
    if (!beyond && !(near <= 1)) expect.fail(`frame ${frame}: ${sample} is heard, ${expected} is due`);
    compared++;
  }
  return compared;
}

describe('whatever is pressed', () => {
  it('the sound is within a sample of where the deck says it is', () => {
    let compared = 0;
    const pressed = new Set<string>();
    fc.assert(
      fc.property(anyDeck, anySession, (profile, session) => {
        let time = 0;
        const events: Timed[] = [];
        for (const { wait, event } of session) {
          // On a frame of the player, so that the deck's own frames are the same.
          time += Math.min(wait, 0.6);
          if (time < 6) events.push({ time: Math.round(time * RATE) / RATE, event });
        }
        // Another track would need its own sound.
        const own = events.filter(({ event }) => event.kind !== 'load');
        const sound = perform(playingAt(4, profile, TRACK), profile, PCM, own, 6);
        sound.effects.forEach(({ kind }) => pressed.add(kind));
        compared += compare(profile, sound, 6);
      }),
      { numRuns: 80, endOnFailure: true },
    );
    expect(compared).toBeGreaterThan(100_000);
    for (const kind of ['jump', 'planned', 'loop-set', 'loop-changed', 'stop', 'saving-loop'])
      expect(pressed).toContain(kind);
  });
});
