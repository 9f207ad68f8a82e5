/** Worked examples by hand: 125 bpm, so that a beat is 0.480 s. Beat n lies at 0.48 n. */
import { describe, expect, it } from 'vitest';
import type { Effect } from '../../shared/behaviour/effect.ts';
import { positionAt, rateOf, shadowAt, tempoPercent } from '../../shared/behaviour/movement.ts';
import { LOAD_SECONDS, LOAD_SECONDS_PER_ITEM } from '../../shared/behaviour/practice.ts';
import { type DeckEvent, hasPress, type Press, pressesOf } from '../../shared/behaviour/press.ts';
import { reduce, reduceAll } from '../../shared/behaviour/reduce.ts';
import { type DeckState, newDeck } from '../../shared/behaviour/state.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { decks, loadedOn, plain, playingAt, quantiseOff, small, strip, tick, track, wide } from './decks.ts';

const run = (state: DeckState, profile: DeckProfile, ...events: DeckEvent[]) =>
  reduceAll(state, events, profile);
const after = (state: DeckState, profile: DeckProfile, ...events: DeckEvent[]) =>
  run(state, profile, ...events).state;
const found = <K extends Effect['kind']>(effects: Effect[], kind: K) =>
  effects.filter((e): e is Extract<Effect, { kind: K }> => e.kind === kind);
const length = ({ loop }: DeckState) => (loop ? loop.end - loop.start : NaN);
const free = (position: number, profile: DeckProfile, bpm = 125) =>
  quantiseOff(playingAt(position, profile, track(bpm)));
const four: Press = { kind: 'loop-length', beats: 4 };

describe('loops at 125 bpm', () => {
  it('four beats are 1.920 s, halved 0.960 s, and turn without drift', () => {
    const loop = after(playingAt(48, wide), wide, four);
    expect(length(loop)).toBeCloseTo(1.92, 9);
    // A hundred thousand turns and a beat and a half later.
    expect(positionAt(loop, 100_000 * 1.92 + 0.72)).toBeCloseTo(48.72, 6);
    const half = after(loop, wide, { kind: 'loop-halve' });
    expect(length(half)).toBeCloseTo(0.96, 9);
    expect(positionAt(half, 0.96 * 7 + 0.1)).toBeCloseTo(48.1, 9);
    expect(length(after(half, wide, { kind: 'loop-double' }, { kind: 'loop-double' }))).toBeCloseTo(3.84, 9);
  });

  it('keeps the place modulo the new length', () => {
    // 1.3 s into the loop, halved to 0.96 s: 0.34 s into it.
    const deck = after(free(48, wide), wide, four, tick(1.3), { kind: 'loop-halve' });
    expect(positionAt(deck)).toBeCloseTo(48.34, 9);
  });

  it('snaps to the start, and says how far the beat is lost', () => {
    const { state, effects } = run(
      free(48, small),
      small,
      { kind: 'loop-hold' },
      { kind: 'loop-hold-release' },
      tick(1.3),
      { kind: 'loop-halve' },
    );
    expect(positionAt(state)).toBe(48);
    // Kept, the place would be 0.34 s into the loop: 0.34 s behind, which is 0.14 s ahead of the next beat.
    const [warning] = found(effects, 'out-of-time');
    expect(warning.offset).toBeCloseTo(0.14, 9);
    expect(warning.beats).toBeCloseTo(-0.34 / 0.48, 9);
    expect(warning.perTurn).toBeCloseTo(0, 9);
  });

  it('keeps the place on the same deck with quantise on', () => {
    const { state, effects } = run(
      playingAt(48, small),
      small,
      { kind: 'loop-hold' },
      { kind: 'loop-hold-release' },
      tick(1.3),
      { kind: 'loop-halve' },
    );
    expect(positionAt(state)).toBeCloseTo(48.34, 9);
    expect(found(effects, 'out-of-time')).toEqual([]);
  });

  it('unreliable: snaps, and drifts by what a frame of 1/75 s cannot hold', () => {
    // At 128 bpm two beats are 0.9375 s = 70.3125 frames; 70 frames are 0.93333 s.
    const { state } = run(free(45, plain, 128), plain, four, tick(0.9), four);
    expect(length(state)).toBeCloseTo(70 / 75, 9);
    expect(state.loop?.beats).toBe(2);
    expect(positionAt(state)).toBe(45);
    // One beat is 0.46875 s = 35.2 frames, so 35: 2.1 ms a turn.
    expect(length(after(state, plain, four))).toBeCloseTo(35 / 75, 9);
  });

  it('unreliable with quantise: the loop is wrong by the shift of its start', () => {
    const deck = playingAt(48.1, plain);
    const { state, effects } = run(deck, plain, four);
    expect(state.loop?.start).toBeCloseTo(48, 9);
    expect(length(state)).toBeCloseTo(2.02, 9);
    expect(found(effects, 'out-of-time')[0].perTurn).toBeCloseTo(0.1, 9);
  });

  it('a short press gives four beats, a long one eight, from the same start and place', () => {
    const pressed = after(free(48.1, small), small, { kind: 'loop-hold' }, tick(0.4));
    expect(pressed.loop?.beats).toBe(4);
    expect(after(pressed, small, { kind: 'loop-hold-release' }, tick(9)).loop?.beats).toBe(4);
    const long = after(pressed, small, tick(0.6), { kind: 'loop-hold-release' });
    expect(long.loop).toMatchObject({ start: 48.1, beats: 8 });
    expect(positionAt(long)).toBeCloseTo(48.7, 9);
  });

  it('goes down to the deck’s shortest and no further', () => {
    const halve = (n: number, profile: DeckProfile, press: Press, from: DeckState) =>
      run(from, profile, ...Array<Press>(n).fill(press));
    // 4 / 2^7 = 1/32 beat; 4 / 2^8 = 1/64; on the frame deck 1.92 / 2^7 = 0.015 s is the last above 1/75 s.
    const strips = after(free(48, strip), strip, four);
    expect(halve(9, strip, { kind: 'loop-halve' }, strips).state.loop?.beats).toBe(1 / 32);
    const wides = after(free(48, wide), wide, four);
    expect(halve(9, wide, { kind: 'loop-halve' }, wides).state.loop?.beats).toBe(1 / 64);
    const plains = halve(12, plain, four, free(48, plain));
    expect(plains.state.loop?.beats).toBe(1 / 32);
    expect(found(plains.effects, 'message')[0].key).toBe('loop-shortest');
  });

  it('by hand ends where it is pressed, or at the nearest step', () => {
    const events: DeckEvent[] = [tick(0.1), { kind: 'loop-in' }, tick(2), { kind: 'loop-out' }];
    const hand = after(free(48, wide), wide, ...events);
    expect(hand.loop).toMatchObject({ beats: null, active: true });
    expect(length(hand)).toBeCloseTo(1.9, 9);
    expect(positionAt(hand)).toBeCloseTo(48.1, 9);
    // 0.1 s is nearest to beat 100, 2.0 s to 4.17 beats after it.
    const snapped = after(playingAt(48, wide), wide, ...events);
    expect(snapped.loop).toMatchObject({ beats: 4 });
    expect(positionAt(snapped)).toBeCloseTo(48.08, 9);
  });

  it('is left, and entered again at its start on the next beat', () => {
    const left = after(playingAt(48, wide), wide, four, tick(0.5), { kind: 'loop-exit' }, tick(4));
    expect(positionAt(left)).toBeCloseTo(52, 9);
    const { state, effects } = run(left, wide, { kind: 'loop-reenter' }, tick(5));
    // Beat 109 is at 52.32 s: 0.32 s to wait, so that at 5 s it is 0.68 s into the loop.
    expect(found(effects, 'jump')[0]).toMatchObject({ to: 48 });
    expect(found(effects, 'jump')[0].atTime).toBeCloseTo(4.32, 9);
    expect(positionAt(state)).toBeCloseTo(48.68, 9);
  });
});

describe('hot cues', () => {
  it('wait for the next beat with quantise, and go at once without', () => {
    const third: Press = { kind: 'hot-cue', button: 3 };
    const { state, effects } = run(playingAt(48.1, wide), wide, third, tick(0.5));
    expect(found(effects, 'planned')[0].from).toBeCloseTo(48.48, 9);
    expect(found(effects, 'jump')[0].atTime).toBeCloseTo(0.38, 9);
    expect(positionAt(state)).toBeCloseTo(64 * 0.48 + 0.12, 9);
    const at = run(free(48.1, wide), wide, third);
    expect(positionAt(at.state)).toBeCloseTo(30.72, 9);
    // 0.1 s after a beat to a beat: 0.1 s behind.
    expect(found(at.effects, 'out-of-time')[0].offset).toBeCloseTo(-0.1, 9);
  });

  it('a bent tempo brings the waiting jump nearer', () => {
    const bent = run(
      playingAt(48.1, wide),
      wide,
      { kind: 'hot-cue', button: 3 },
      { kind: 'bend', amount: 1 },
    );
    expect(found(bent.effects, 'planned')[1].atTime).toBeCloseTo(0.38 / 1.04, 9);
  });

  it('slot 6 is button 2 of bank 2 where there are two banks of four', () => {
    const events: DeckEvent[] = [
      { kind: 'bank', bank: 2 },
      { kind: 'hot-cue', button: 2 },
    ];
    expect(positionAt(after(free(1, small), small, ...events))).toBeCloseTo(160 * 0.48, 9);
  });

  it('by hand: stale until recalled by five presses', () => {
    const old = track(125, { id: 'old', cues: [{ slot: 1, time: 7.2, name: 'Old' }] });
    const fresh = track(125, { cues: [1, 2, 3].map((slot) => ({ slot, time: slot * 4.8, name: '' })) });
    const first: Press = { kind: 'hot-cue', button: 1 };
    const had = after(loadedOn(newDeck(plain), plain, old), plain, { kind: 'recall' }, first, {
      kind: 'recall',
    });
    const stale = loadedOn(had, plain, fresh);
    const fired = run(stale, plain, first);
    expect(positionAt(fired.state)).toBeCloseTo(7.2, 9);
    expect(found(fired.effects, 'stale-cue')).toEqual([{ kind: 'stale-cue', slot: 1, trackId: 'old' }]);
    const pads: Press[] = [1, 2, 3].map((button) => ({ kind: 'hot-cue', button }));
    const presses: Press[] = [{ kind: 'recall' }, ...pads, { kind: 'recall' }];
    expect(presses).toHaveLength(plain.hotCues.recallPresses);
    const recalled = run(stale, plain, ...presses);
    expect(found(recalled.effects, 'cue-recalled').map(({ slot }) => slot)).toEqual([1, 2, 3]);
    const now = run(recalled.state, plain, first);
    expect(positionAt(now.state)).toBeCloseTo(4.8, 9);
    expect(found(now.effects, 'stale-cue')).toEqual([]);
  });

  it('are set in an empty slot on the nearest step, and cleared', () => {
    const bare = playingAt(48.1, wide, track(125, { cues: [] }));
    const set = after(bare, wide, { kind: 'hot-cue', button: 4 });
    expect(set.pads[3]?.time).toBeCloseTo(48, 9);
    expect(after(set, wide, { kind: 'hot-cue-clear', button: 4 }).pads[3]).toBeNull();
  });
});

describe('transport', () => {
  it('the menu takes three presses to turn quantise off', () => {
    const off = after(playingAt(1, plain), plain, { kind: 'menu' }, { kind: 'menu-turn', by: -1 });
    expect(off.quantise.on).toBe(true);
    expect(after(off, plain, { kind: 'menu-choose' }).quantise.on).toBe(false);
  });

  it('jumps by beats, by the screen only when its page is open', () => {
    const ahead = after(
      playingAt(48.1, wide),
      wide,
      { kind: 'jump-longer' },
      { kind: 'beat-jump', direction: 1 },
    );
    expect(positionAt(ahead)).toBeCloseTo(48.1 + 8 * 0.48, 9);
    const back: Press = { kind: 'screen-jump', beats: -4 };
    const deck = playingAt(48.1, small);
    expect(reduce(deck, back, small).state).toBe(deck);
    expect(positionAt(after(deck, small, { kind: 'jump-page' }, back))).toBeCloseTo(46.18, 9);
  });

  it('slip goes on where the track would be', () => {
    const looped = after(free(48, wide), wide, { kind: 'slip' }, four, tick(5));
    expect(positionAt(looped)).toBeCloseTo(48 + 5 - 2 * 1.92, 9);
    expect(shadowAt(looped)).toBeCloseTo(53, 9);
    expect(positionAt(after(looped, wide, { kind: 'loop-exit' }))).toBeCloseTo(53, 9);
    const reversed = after(free(48, wide), wide, { kind: 'slip-reverse' }, tick(2));
    expect(positionAt(reversed)).toBeCloseTo(46, 9);
    expect(positionAt(after(reversed, wide, { kind: 'slip-reverse-release' }))).toBeCloseTo(50, 9);
  });

  it('tempo follows range and resolution', () => {
    // 3.333 % of ±8 in steps of 0.02 %: 3.34 %; the same fader on ±16 in steps of 0.05 %: 6.65 %.
    const deck = after(playingAt(0, wide), wide, { kind: 'tempo', fader: 3.333 / 8 });
    expect(tempoPercent(deck)).toBe(3.34);
    expect(positionAt(after(deck, wide, tick(10)))).toBeCloseTo(10.334, 9);
    expect(tempoPercent(after(deck, wide, { kind: 'tempo-range' }))).toBe(6.65);
  });

  it('sync takes the master’s tempo and beat', () => {
    const deck = after(playingAt(48.1, wide), wide, { kind: 'master', bpm: 130, time: 0, beat: 0.5 });
    const synced = after(deck, wide, { kind: 'sync' });
    expect(rateOf(synced)).toBeCloseTo(1.04, 9);
    // 48.1 s is beat 100.21; the nearest half is 100.5.
    expect(positionAt(synced)).toBeCloseTo(48.24, 9);
  });

  it('cue: back and stop; held, it plays', () => {
    const set = after(loadedOn(newDeck(wide), wide), wide, { kind: 'play' }, tick(1003), { kind: 'cue' });
    expect([set.playing, positionAt(set)]).toEqual([false, 0]);
    const held = after(set, wide, { kind: 'cue' }, tick(1004));
    expect(positionAt(held)).toBeCloseTo(1, 9);
    const released = after(held, wide, { kind: 'cue-release' });
    expect([released.playing, positionAt(released)]).toEqual([false, 0]);
    expect(after(held, wide, { kind: 'play' }, { kind: 'cue-release' }).playing).toBe(true);
  });

  it('loads more slowly with metadata where the profile says so', () => {
    const heavy = track(125, { metadataItems: 50 });
    const until = (p: DeckProfile) => after(newDeck(p), p, { kind: 'load', track: heavy }).loading?.until;
    expect(until(wide)).toBe(LOAD_SECONDS);
    expect(until(small)).toBeCloseTo(LOAD_SECONDS + 50 * LOAD_SECONDS_PER_ITEM, 9);
  });

  it('the drive pulled: a loop of four beats, or silence', () => {
    const saved = after(playingAt(48.1, small), small, { kind: 'drive-pulled' }, tick(100));
    expect(saved.loop).toMatchObject({ beats: 4, active: true });
    expect(saved.loop?.start).toBeCloseTo(48, 9);
    expect([saved.playing, reduce(saved, { kind: 'loop-exit' }, small).state === saved]).toEqual([
      true,
      true,
    ]);
    const gone = run(playingAt(48.1, plain), plain, { kind: 'drive-pulled' });
    expect([gone.state.playing, gone.state.track, found(gone.effects, 'silence').length]).toEqual([
      false,
      null,
      1,
    ]);
    const stood = run(loadedOn(newDeck(small), small), small, { kind: 'drive-pulled' });
    expect([stood.state.track, found(stood.effects, 'message').map(({ key }) => key)]).toEqual([
      null,
      ['drive-out'],
    ]);
  });

  it('stops at the end, exactly then', () => {
    const { state, effects } = run(playingAt(239, wide), wide, tick(5));
    expect(found(effects, 'stop')).toEqual([{ kind: 'stop', position: 240, atTime: 1, reason: 'end' }]);
    expect(positionAt(state)).toBe(240);
  });

  it('what a profile has not is absent', () => {
    const kinds = (p: DeckProfile) => new Set(pressesOf(p).map(({ kind }) => kind));
    expect(kinds(plain).has('slip')).toBe(false);
    expect(kinds(plain).has('sync')).toBe(false);
    expect(kinds(plain).has('beat-jump')).toBe(false);
    expect(kinds(plain).has('loop-double')).toBe(false);
    expect(kinds(strip).has('slip-reverse')).toBe(false);
    expect(kinds(small).has('loop-length')).toBe(false);
    expect(kinds(wide).has('bank')).toBe(false);
    for (const deck of decks) expect(pressesOf(deck).every((press) => hasPress(press, deck))).toBe(true);
  });
});
