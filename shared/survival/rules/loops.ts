/** Whether a deck can make a loop of that length, and how surely. */
import { beatAtTime } from '../../grid/grid.ts';
import type { Loop } from '../../markers/marker.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import type { RuleContext } from '../context.ts';
import type { Remedy } from '../verdict.ts';
import { landing } from './quantise.ts';
import { advice, lost, rule, weakened } from './rule.ts';

/** Longest loop that doubling is taken to reach, in beats. Estimate. */
export const LONGEST_LOOP = 512;
/** Shortest loop of a deck that can go down to one frame, s: 1/75, the frame of the audio disc; from memory. */
export const FRAME_SECONDS = 1 / 75;
/** Two lengths nearer than this, as a ratio, are the same: 5 ms in a bar at 128 bpm is 0.3 %. */
const SAME_LENGTH = 0.003;

export interface ReachableLength {
  beats: number;
  /** Halvings or doublings after the length that is set at once; 0: direct. */
  presses: number;
}

/** Lengths of a deck down to LEAST_BEATS; its shortest may hang on the tempo, so it is applied by the caller. */
const lengthsOf = new WeakMap<DeckProfile, readonly ReachableLength[]>();
/** Below one frame at any tempo. */
const LEAST_BEATS = 1 / 1024;

function allLengths(profile: DeckProfile): readonly ReachableLength[] {
  const known = lengthsOf.get(profile);
  if (known) return known;
  const { direct, method } = profile.loops;
  const best = new Map<number, number>();
  const reach = (beats: number, presses: number) =>
    best.set(beats, Math.min(presses, best.get(beats) ?? Infinity));
  for (const length of direct) {
    for (let k = 0; k === 0 || length / 2 ** k >= LEAST_BEATS; k++) reach(length / 2 ** k, k);
    if (method === 'halving-press') continue;
    for (let k = 1; length * 2 ** k <= LONGEST_LOOP; k++) reach(length * 2 ** k, k);
  }
  const all = [...best].map(([beats, presses]) => ({ beats, presses })).sort((x, y) => x.beats - y.beats);
  lengthsOf.set(profile, all);
  return all;
}

/**
 * Every length that the deck reaches, shortest first, with the fewest presses: each direct one halved down to the
 * deck's shortest, and doubled. A deck whose lengths come by halving presses does not double.
 * @param beatSeconds length of a beat, s: tells how many beats one frame is
 */
export function reachableLengths(profile: DeckProfile, beatSeconds: number): readonly ReachableLength[] {
  const { shortest } = profile.loops;
  const least = shortest === 'frame' ? FRAME_SECONDS / beatSeconds : LEAST[shortest];
  const known = lastReachable.get(profile);
  if (known?.least === least) return known.lengths;
  const lengths = allLengths(profile).filter(({ beats, presses }) => beats >= least || presses === 0);
  lastReachable.set(profile, { least, lengths });
  return lengths;
}

const LEAST = { '1/32 beat': 1 / 32, '1/64 beat': 1 / 64 };
/** What each deck reached at the tempo that was last asked for: the markers of one track ask one after the other. */
const lastReachable = new WeakMap<DeckProfile, { least: number; lengths: readonly ReachableLength[] }>();

/** Length in beats: as it was set, else measured on the grid; null without a grid. */
function beatsOf(loop: Loop, { analysis }: RuleContext): number | null {
  if (!analysis.grid.segments.length) return null;
  return loop.beats ?? beatAtTime(analysis.grid, loop.endTime) - beatAtTime(analysis.grid, loop.time);
}

interface Length {
  beats: number;
  /** The reachable length that it is, or null. */
  known: ReachableLength | null;
  /** The reachable length that it is nearest to, by ratio; the shorter of two. */
  nearest: ReachableLength;
}

function lengthOf(loop: Loop, context: RuleContext): Length | null {
  const beats = beatsOf(loop, context);
  const all = beats === null ? [] : reachableLengths(context.profile, context.beatSeconds(loop.time) ?? 1);
  if (beats === null || !all.length) return null;
  const longer = all.findIndex((length) => length.beats > beats);
  const nearest =
    longer < 0
      ? all[all.length - 1]
      : longer && away(all[longer - 1], beats) <= away(all[longer], beats)
        ? all[longer - 1]
        : all[longer];
  return { beats, nearest, known: away(nearest, beats) < SAME_LENGTH ? nearest : null };
}

/** By how much two lengths differ, as the logarithm of their ratio. */
const away = (length: ReachableLength, beats: number): number => Math.abs(Math.log(length.beats / beats));

/** The direct length nearest by ratio. */
function directLength(beats: number, { profile }: RuleContext): Remedy {
  const away = (other: number) => Math.abs(Math.log(other / beats));
  const { direct } = profile.loops;
  return { action: 'set-length', beats: direct.reduce((a, b) => (away(b) < away(a) ? b : a)) };
}

/** Quantise has to be off for this loop: the deck has none, loops badly with it, or would move the loop. */
function needsQuantiseOff(loop: Loop, context: RuleContext): boolean {
  const { loops, quantise } = context.profile;
  return loops.unreliableWithQuantise || !quantise.steps.length || landing(context, loop.time) !== null;
}

export const loopRules = [
  rule('loop-none', ['loop'], (_, { profile }) =>
    profile.loops.method === 'none' ? lost({}, advice('plan-without-loop')) : null,
  ),
  rule('loop-no-grid', ['loop'], (_, { profile, analysis }) =>
    analysis.grid.segments.length || profile.loops.method === 'none'
      ? null
      : weakened({}, advice('loop-by-hand')),
  ),
  rule('loop-length', ['loop'], (loop, context) => {
    const length = lengthOf(loop, context);
    if (!length || length.known) return null;
    const { beats, nearest } = length;
    return lost(
      { beats, nearest: nearest.beats },
      { action: 'set-length', beats: nearest.beats },
      advice('loop-by-hand'),
    );
  }),
  rule('loop-presses', ['loop'], (loop, context) => {
    const length = lengthOf(loop, context);
    if (!length?.known?.presses) return null;
    const { beats, presses } = length.known;
    return weakened({ beats, presses }, directLength(beats, context), advice('set-loop-early'));
  }),
  rule('loop-change-unquantised', ['loop'], (loop, context) => {
    const change = context.profile.loops.changeUnquantised;
    const length = lengthOf(loop, context);
    if (!length?.known?.presses || change === 'keeps-place' || !needsQuantiseOff(loop, context)) return null;
    return weakened({ change }, directLength(length.beats, context), advice('set-loop-early'));
  }),
  rule('loop-needs-quantise-off', ['loop'], (_, { profile }) =>
    profile.loops.method !== 'none' && profile.loops.unreliableWithQuantise && profile.quantise.steps.length
      ? weakened({}, advice('quantise-off'))
      : null,
  ),
];
