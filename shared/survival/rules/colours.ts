/** Cues that only their colour tells apart, on a deck where all have one. */
import { nearestTo } from './place.ts';
import { advice, labelOf, rule, weakened } from './rule.ts';

export const colourRules = [
  rule('colours-merge', ['cue'], (cue, { profile, reachable }) => {
    if (profile.hotCues.colours !== 'one' || !cue.colour || !reachable.includes(cue)) return null;
    const nearest = nearestTo(
      cue,
      reachable.filter((other) => other.colour !== null && other.colour !== cue.colour),
    );
    if (!nearest) return null;
    return weakened(
      { other: labelOf(nearest), order: nearest.time < cue.time ? 'before' : 'after', slot: cue.slot ?? 0 },
      advice('tell-by-slot'),
    );
  }),
];
