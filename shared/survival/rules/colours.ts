/** Cues that only their colour tells apart, on a deck where all have one. */
import { advice, labelOf, rule, weakened } from './rule.ts';

export const colourRules = [
  rule('colours-merge', ['cue'], (cue, { profile, reachable }) => {
    if (profile.hotCues.colours !== 'one' || !cue.colour || !reachable.includes(cue)) return null;
    const others = reachable.filter((other) => other.colour !== null && other.colour !== cue.colour);
    if (!others.length) return null;
    const gap = (other: { time: number }) => Math.abs(other.time - cue.time);
    const nearest = others.reduce((a, b) => (gap(b) < gap(a) ? b : a));
    return weakened(
      { other: labelOf(nearest), order: nearest.time < cue.time ? 'before' : 'after', slot: cue.slot ?? 0 },
      advice('tell-by-slot'),
    );
  }),
];
