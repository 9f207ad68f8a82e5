/** Decks and tracks that the tests of behaviour share, and the arbitraries of the property tests. */
import fc from 'fast-check';
import { type Press, pressesOf } from '../../shared/behaviour/press.ts';
import { reduce, reduceAll } from '../../shared/behaviour/reduce.ts';
import { type DeckState, newDeck } from '../../shared/behaviour/state.ts';
import type { DeckTrack } from '../../shared/behaviour/track.ts';
import type { DeckEvent } from '../../shared/behaviour/press.ts';
import { type BeatGrid, noGrid, type GridSegment } from '../../shared/grid/grid.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { shippedDeck, shippedNames } from '../profiles/files.ts';

export const wide = shippedDeck('wide-touch');
export const small = shippedDeck('small-touch');
export const strip = shippedDeck('touch-strip');
export const plain = shippedDeck('overview-only');
export const decks = shippedNames.map((name) => shippedDeck(name.replace('.json', '')));

export function gridOf(segments: GridSegment[], endTime: number): BeatGrid {
  const kind = segments.length > 1 ? 'variable' : 'constant';
  return { ...noGrid(endTime), kind, segments, confidence: 1, downbeatConfidence: 1, phraseOffsetBars: 0 };
}

export const steadyGrid = (bpm: number, duration = 240, startTime = 0): BeatGrid =>
  gridOf([{ startBeat: 0, startTime, bpm }], duration);

/** Beat n at n × 60 / bpm; cue k at beat 32 (k − 1). */
export function track(bpm = 125, change: Partial<DeckTrack> = {}): DeckTrack {
  return {
    id: 'low-tide',
    name: 'Low Tide',
    duration: 240,
    grid: steadyGrid(bpm),
    cues: Array.from({ length: 8 }, (_, i) => ({
      slot: i + 1,
      time: (i * 32 * 60) / bpm,
      name: `Cue ${i + 1}`,
    })),
    metadataItems: 0,
    ...change,
  };
}

/** A deck with the track loaded, playing from `position` at time 0 of a fresh clock. */
export function playingAt(position: number, profile: DeckProfile, loaded = track()): DeckState {
  const ready = loadedOn(newDeck(profile), profile, loaded);
  const there = { ...ready, now: 0, anchor: { time: 0, position } };
  return reduce(there, { kind: 'play' }, profile).state;
}

export const loadedOn = (deck: DeckState, profile: DeckProfile, loaded = track()): DeckState =>
  reduceAll(deck, [{ kind: 'load', track: loaded }, tick(deck.now + 1000)], profile).state;

/** The same, with cues of another track on the buttons where the deck does not take them along. */
export const afterAnother = (profile: DeckProfile, loaded: DeckTrack): DeckState => {
  const deck = newDeck(profile);
  const pads = deck.pads.map((_, i) => ({ time: 7 * i, name: 'old', trackId: 'another' }));
  return loadedOn({ ...deck, pads }, profile, loaded);
};

export const tick = (time: number): DeckEvent => ({ kind: 'tick', time });
export const quantiseOff = (state: DeckState): DeckState => ({
  ...state,
  quantise: { ...state.quantise, on: false },
});

/** Shipped decks with some of their facts exchanged, so that facts meet that no shipped deck combines. */
export const anyDeck: fc.Arbitrary<DeckProfile> = fc
  .record({
    base: fc.constantFrom(...decks),
    hotCues: fc.constantFrom(...decks.map((d) => d.hotCues), {
      ...plain.hotCues,
      slots: 5,
      banks: 2,
      buttons: 3,
      recallPresses: 2,
    }),
    quantise: fc.constantFrom(...decks.map((d) => d.quantise), { steps: [], setIn: 'none' as const }),
    loops: fc.constantFrom(...decks.map((d) => d.loops), {
      ...plain.loops,
      direct: [],
      method: 'none' as const,
    }),
    change: fc.constantFrom('keeps-place', 'snaps-to-start', 'unreliable'),
    beatJump: fc.constantFrom(...decks.map((d) => d.beatJump)),
    slip: fc.boolean(),
    drivePulled: fc.constantFrom('loop-saves-set', 'music-stops'),
  })
  .map(({ base, hotCues, quantise, loops, change, beatJump, slip, drivePulled }) => ({
    ...base,
    hotCues,
    quantise,
    loops: { ...loops, changeUnquantised: change as DeckProfile['loops']['changeUnquantised'] },
    beatJump,
    screen: { ...base.screen, touch: true },
    playback: { ...base.playback, slip, slipReverse: slip && base.playback.slipReverse, touchStrip: true },
    media: { ...base.media, drivePulled: drivePulled as DeckProfile['media']['drivePulled'] },
  }));

export const anyTrack: fc.Arbitrary<DeckTrack> = fc
  .record({
    bpm: fc.double({ min: 60, max: 200, noNaN: true }),
    second: fc.double({ min: 60, max: 200, noNaN: true }),
    first: fc.double({ min: -0.5, max: 3, noNaN: true }),
    duration: fc.double({ min: 1, max: 900, noNaN: true }),
    kind: fc.constantFrom('constant', 'constant', 'variable', 'none'),
    cues: fc.uniqueArray(
      fc.record({ slot: fc.integer({ min: 1, max: 8 }), at: fc.double({ min: 0, max: 1, noNaN: true }) }),
      { selector: ({ slot }) => slot, maxLength: 8 },
    ),
  })
  .map(({ bpm, second, first, duration, kind, cues }) => {
    const segments = [{ startBeat: 0, startTime: first, bpm }];
    if (kind === 'variable')
      segments.push({ startBeat: 32, startTime: first + (32 * 60) / bpm, bpm: second });
    return track(bpm, {
      id: `track of ${duration} s`,
      duration,
      grid: kind === 'none' ? noGrid(duration) : gridOf(segments, duration),
      cues: cues.map(({ slot, at }) => ({ slot, time: at * duration, name: `Cue ${slot}` })),
    });
  });

/** Every press of every deck, and some that none has. */
const everyPress: Press[] = [
  ...new Map(decks.flatMap(pressesOf).map((p) => [JSON.stringify(p), p])).values(),
  { kind: 'hot-cue', button: 99 },
  { kind: 'hot-cue', button: 0 },
  { kind: 'bank', bank: 9 },
  { kind: 'loop-length', beats: 3 },
  { kind: 'screen-jump', beats: 5 },
  { kind: 'tempo', fader: 4 },
  { kind: 'strip-touch', at: NaN },
];
/** Presses that make music, on whatever deck has them. */
const lively = fc.oneof(
  fc.constantFrom<Press>({ kind: 'play' }, { kind: 'loop-halve' }, { kind: 'loop-double' }, { kind: 'slip' }),
  fc.constantFrom<Press>({ kind: 'loop-in' }, { kind: 'loop-out' }, { kind: 'loop-reenter' }),
  fc.constantFrom<Press>({ kind: 'hot-cue', button: 1 }, { kind: 'hot-cue', button: 2 }),
  fc.constantFrom<Press>(
    { kind: 'loop-length', beats: 4 },
    { kind: 'loop-length', beats: 8 },
    { kind: 'loop-hold' },
  ),
);
export const anyPress: fc.Arbitrary<Press> = fc.oneof(
  { weight: 8, arbitrary: fc.constantFrom(...everyPress) },
  { weight: 8, arbitrary: lively },
  { weight: 1, arbitrary: anyTrack.map((t): Press => ({ kind: 'load', track: t })) },
);

/** A step of a session: time to wait, s, then a press or something of the world. */
export const anySession: fc.Arbitrary<{ wait: number; event: DeckEvent }[]> = fc.array(
  fc.record({
    wait: fc.oneof(
      { weight: 4, arbitrary: fc.constant(0) },
      { weight: 12, arbitrary: fc.double({ min: 0, max: 2, noNaN: true }) },
      { weight: 1, arbitrary: fc.double({ min: 0, max: 200, noNaN: true }) },
    ),
    event: fc.oneof(
      { weight: 30, arbitrary: anyPress },
      { weight: 1, arbitrary: fc.constant<DeckEvent>({ kind: 'drive-pulled' }) },
      {
        weight: 1,
        arbitrary: fc.double({ min: 60, max: 200, noNaN: true }).map((bpm): DeckEvent => ({
          kind: 'master',
          bpm,
          time: 0,
          beat: 0.25,
        })),
      },
    ),
  }),
  // Long ones: a session must get somewhere.
  { minLength: 1, maxLength: 60, size: 'max' },
);
