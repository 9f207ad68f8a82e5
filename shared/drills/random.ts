/** Random choices that can be repeated: the same seed gives the same item after a reload. */
import type { Random } from './types.ts';

const UINT32 = 2 ** 32;
/** What a state of 0, in which the generator would stay, is replaced by. */
const NOT_ZERO = 0x9e3779b9;
/** Numbers thrown away first: those after a small seed are small. */
const WARM_UP = 8;

/** A xorshift generator (shifts 13, 17, 5) after Marsaglia (2003), "Xorshift RNGs", J. Stat. Softw. 8(14); from memory. */
export function seeded(seed: number): Random {
  let state = seed >>> 0 || NOT_ZERO;
  const next = () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return (state - 1) / (UINT32 - 1);
  };
  for (let i = 0; i < WARM_UP; i++) next();
  return next;
}

/** A seed for `seeded`, an integer 1 … 2³²−1. */
export const newSeed = (random: Random): number => 1 + Math.floor(random() * (UINT32 - 2));

/** An integer 0 … below−1. */
export const below = (random: Random, count: number): number =>
  Math.min(count - 1, Math.floor(random() * count));

/** One of a list, each with the same chance; undefined from an empty one. */
export function pick<T>(random: Random, list: readonly T[]): T | undefined {
  return list.length ? list[below(random, list.length)] : undefined;
}

/** A copy in random order (Fisher and Yates). */
export function shuffled<T>(random: Random, list: readonly T[]): T[] {
  const out = [...list];
  for (let i = out.length - 1; i > 0; i--) {
    const j = below(random, i + 1);
    [out[i], out[j]] = [out[j], out[i]];
  }
  return out;
}
