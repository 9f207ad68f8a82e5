/** The hand drills on one deck. Whether a deck needs one follows from its facts, never from its name. */
import { timeOfBeat } from '../../grid/grid.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import type { Effect } from '../effect.ts';
import { missingCues, placeOf } from '../hot-cues.ts';
import { beatsIn, tooLong } from '../loops.ts';
import { at, fold, positionAt, rateOf } from '../movement.ts';
import { LONG_PRESS, OUT_OF_TIME } from '../practice.ts';
import type { PressKind } from '../press.ts';
import { reduce } from '../reduce.ts';
import type { DeckState } from '../state.ts';
import { byBeats, gridOf, nearestStep } from '../steps.ts';
import { opening } from '../what-if/performance.ts';
import { deckMachine, type Note, toLoopStart } from './deck-machine.ts';
import type { AnyMachine, Refusal } from './machine.ts';
import { PRACTICE_BEFORE, PRACTICE_TRACK } from './practice-track.ts';

/** A hand that is nearer to the right moment than this is in time, s. Estimate: a good drummer's scatter is less. */
export const IN_TIME = 0.03;
/** Beats from the start of the drill to the drop. */
export const DROP_AHEAD = 16;
/** Where the deck stands in the track when a drill starts, beats. */
const FROM_BEAT = 96.3;

const QUANTISE: PressKind[] = ['quantise', 'quantise-step', 'menu', 'menu-turn', 'menu-choose'];
const LENGTHS: PressKind[] = ['loop-length', 'loop-hold', 'loop-hold-release', 'loop-halve', 'loop-double'];
const no = (outcome: Refusal['outcome'], reason: Refusal['reason']): Refusal => ({ outcome, reason });
const heardJump = (e: Effect) => (e.kind === 'jump' || e.kind === 'planned') && e.cause === 'hot-cue';

/** A deck that plays the track, with the cues of the one before where they are not recalled. */
function rolling(profile: DeckProfile, track = PRACTICE_TRACK): DeckState {
  const position = timeOfBeat(track.grid, FROM_BEAT);
  return opening({ track, previous: PRACTICE_BEFORE, position, playing: true, moves: [] }, profile);
}

/** Fire the cue of a slot on a later bank. */
export function reachSlot(profile: DeckProfile, slot = 6): AnyMachine | Refusal {
  const { hotCues } = profile;
  if (hotCues.slots < slot) return no('not-possible', hotCues.slots ? 'too-few-slots' : 'no-cues');
  if (placeOf(slot, profile).bank === 1) return no('not-needed', 'slot-on-first-bank');
  const deck = rolling(profile);
  const cue = PRACTICE_TRACK.cues[slot - 1];
  const pads = PRACTICE_TRACK.cues
    .slice(0, hotCues.slots)
    .map(({ time, name }) => ({ time, name, trackId: PRACTICE_TRACK.id }));
  const start = { ...deck, pads: deck.pads.map((pad, i) => pads[i] ?? pad) };
  return deckMachine(
    {
      start,
      kinds: ['hot-cue', 'bank'],
      note: (note, before, _, effects) => {
        const hit = effects.find(heardJump);
        const right = hit && 'to' in hit && hit.to === nearestStep(before, cue.time);
        const wrong = effects.some((e) => e.kind === 'cue-set') || (hit && !right);
        return { ...note, failed: note.failed || Boolean(wrong), stage: right ? 1 : note.stage };
      },
      done: (_, { stage }) => stage === 1,
      most: 6,
    },
    profile,
  );
}

/** Load all the cues that the deck has buttons for, before the drop; no stale cue may fire. */
export function recallBeforeDrop(profile: DeckProfile): AnyMachine | Refusal {
  const { hotCues } = profile;
  if (!hotCues.slots) return no('not-possible', 'no-cues');
  if (hotCues.recall === 'automatic') return no('not-needed', 'cues-come-along');
  const start = rolling(profile);
  const grid = PRACTICE_TRACK.grid;
  const dropAt = start.now + byBeats(grid, positionAt(start), DROP_AHEAD) - positionAt(start);
  return deckMachine(
    {
      start,
      kinds: ['recall', 'hot-cue', 'bank'],
      note: (note, _, after, effects) => ({
        ...note,
        failed:
          note.failed || effects.some((e) => heardJump(e) || e.kind === 'cue-set') || after.now > dropAt,
      }),
      done: (deck) => missingCues(deck, profile).length === 0 && deck.recall.phase === 'off',
      most: 2 * hotCues.slots + hotCues.recallPresses,
    },
    profile,
  );
}

/** Halve a running loop at the moment that keeps the beat, quantise being off. */
export function shortenLoop(profile: DeckProfile): AnyMachine | Refusal {
  const { loops } = profile;
  if (loops.method === 'none') return no('not-possible', 'no-loops');
  if (loops.changeUnquantised === 'keeps-place') return no('not-needed', 'place-is-kept');
  const beats = [...loops.direct].reverse().find((b) => b <= 4) ?? loops.direct[0];
  const grid = PRACTICE_TRACK.grid;
  const from = timeOfBeat(grid, 96);
  const free = rolling(profile);
  const span = { start: from, end: byBeats(grid, from, beats), beats, active: true };
  const inside = byBeats(grid, from, beats * 0.3);
  const start = at({ ...free, quantise: { ...free.quantise, on: false }, loop: span }, inside);
  return deckMachine(
    {
      start,
      kinds: [...LENGTHS, ...QUANTISE],
      note: (note, before, after, effects) => {
        if (!effects.some((e) => e.kind === 'loop-changed') || !after.loop) return note;
        return { ...note, error: (note.error ?? 0) + lostPlace(before, after) };
      },
      done: ({ loop }, { error }) =>
        loop?.active === true && loop.beats === beats / 2 && error !== null && Math.abs(error) <= IN_TIME,
      waits: (deck) => [toLoopStart(deck) ?? 0, ...holds(deck, profile)],
      most: 8,
    },
    profile,
  );
}

/** How far the playhead was put from the place that the new loop would have kept, s, plus what a turn adds. */
function lostPlace(before: DeckState, after: DeckState): number {
  const { loop } = after;
  if (!loop) return 0;
  // The press and the state after it share one moment.
  const moved = positionAt(after, after.now) - fold(positionAt(before, before.now), loop);
  const length = loop.end - loop.start;
  return moved - Math.round(moved / length) * length + tooLong(after, loop);
}

/** A loop of 4 beats, then one of 8, by whatever way the deck has; by hand if need be. */
export function twoLoops(profile: DeckProfile): AnyMachine | Refusal {
  if (profile.loops.method === 'none') return no('not-possible', 'no-loops');
  const WANTED = [4, 8];
  return deckMachine(
    {
      start: rolling(profile),
      kinds: [...LENGTHS, 'loop-in', 'loop-out', 'loop-exit'],
      note: (note, _, after) => loopStage(note, after, WANTED),
      done: (_, { stage }) => stage === WANTED.length,
      waits: (deck) => [...toLoopOut(deck, WANTED), ...holds(deck, profile)],
      most: 8,
    },
    profile,
  );
}

function loopStage(note: Note, deck: DeckState, wanted: readonly number[]): Note {
  const beats = wanted[note.stage];
  const grid = gridOf(deck);
  const { loop } = deck;
  // A length button that is still held may yet change the length.
  if (!loop?.active || !grid || beats === undefined || deck.loopHold) return note;
  const off = loop.end - byBeats(grid, loop.start, beats);
  if (Math.abs((beatsIn(deck, loop) ?? 0) - beats) > 0.25) return note;
  return { ...note, error: off, stage: Math.abs(off) <= OUT_OF_TIME ? note.stage + 1 : note.stage };
}

/** Waits until a loop by hand has each of the lengths, s. */
function toLoopOut(deck: DeckState, wanted: readonly number[]): number[] {
  const grid = gridOf(deck);
  const { loopIn } = deck;
  const rate = rateOf(deck);
  if (!grid || loopIn === null || deck.loop?.active || rate <= 0) return [];
  return wanted.map((beats) => (byBeats(grid, loopIn, beats) - positionAt(deck)) / rate);
}

/** Waits that hold the button of the lengths for each of them, s. */
function holds({ loopHold }: DeckState, { loops }: DeckProfile): number[] {
  return loopHold ? loops.direct.map((_, i) => i * LONG_PRESS) : [];
}

/** The drive is pulled while the track plays: have it play freely again. The error is the silence. */
export function drivePulled(profile: DeckProfile): AnyMachine {
  const before = rolling(profile);
  const start = reduce(before, { kind: 'drive-pulled' }, profile).state;
  return deckMachine(
    {
      start,
      kinds: ['plug-drive', 'play', 'loop-exit'],
      more: [{ kind: 'load', track: PRACTICE_TRACK }],
      note: (note, before, after) => {
        const silent = rateOf(before) === 0 ? after.now - before.now : 0;
        return { ...note, error: (note.error ?? 0) + silent };
      },
      done: (deck) =>
        deck.drive === 'in' && deck.track?.id === PRACTICE_TRACK.id && deck.playing && !deck.loop?.active,
      waits: ({ loading, now }) => (loading ? [loading.until - now] : []),
      most: 8,
    },
    profile,
  );
}
