/** Seeded randomness: everything in the demo set comes out the same on every run. */

/** Yields numbers in [0, 1). */
export type Random = () => number;

/** Mulberry32, a 32-bit counter-based generator (Tommy Ettinger, public domain; written from memory). */
export function mulberry32(seed: number): Random {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** One 32-bit seed from any words and numbers (FNV-1a), so that parts of a track do not share a stream. */
export function seedFrom(...parts: (string | number)[]): number {
  let hash = 0x811c9dc5;
  for (const char of parts.join('\u0000')) hash = Math.imul(hash ^ char.codePointAt(0)!, 0x01000193);
  return hash >>> 0;
}

/** One of `choices`, each as likely as the others. */
export function pick<T>(random: Random, choices: readonly T[]): T {
  return choices[Math.floor(random() * choices.length)];
}

/** A number between `low` and `high`. */
export function between(random: Random, low: number, high: number): number {
  return low + (high - low) * random();
}
