/** Short loops for tests: one seeded groove per style, bar by bar. */
import { between, pick, type Random } from '../synth/prng.ts';

export const LOOP_STYLES = ['house', 'techno', 'breakbeat', 'half-time', 'swing', 'three-four'] as const;
export type LoopStyle = (typeof LOOP_STYLES)[number];

export const LOOP_PARTS = ['kick', 'snare', 'hat', 'open', 'ghost', 'crash', 'bass', 'chord'] as const;
export type LoopPart = (typeof LOOP_PARTS)[number];

/** One hit, `beat` counted from the start of its bar. */
export interface LoopHit {
  part: LoopPart;
  beat: number;
  gain: number;
  /** Beats, for notes */
  length?: number;
}

/** What a seed settles for the whole loop. */
export interface Groove {
  style: LoopStyle;
  beatsPerBar: number;
  swing: number;
  /** The bar's hits before fills. */
  bar: LoopHit[];
  /** Scale steps of the chords, one a bar */
  progression: number[];
  fillEvery: number;
}

const PROGRESSIONS = [
  [0, 0, 5, 6],
  [0, 3, 5, 4],
  [0, 2, 5, 3],
  [0, 5, 2, 6],
  [0, 0, 3, 3],
];

const at = (part: LoopPart, beats: number[], gain = 1, length?: number): LoopHit[] =>
  beats.map((beat) => ({ part, beat, gain, length }));

/** Sixteenths of a bar, each kept with probability `share`. */
function sixteenths(random: Random, beats: number, share: number): number[] {
  return Array.from({ length: beats * 4 }, (_, i) => i / 4).filter(() => random() < share);
}

/** Settles a groove from the random stream. */
export function makeGroove(style: LoopStyle, random: Random): Groove {
  const beatsPerBar = style === 'three-four' ? 3 : 4;
  const swing = style === 'swing' ? between(random, 0.55, 0.66) : 0.5;
  const progression = pick(random, PROGRESSIONS);
  const bar = BARS[style](random);
  return { style, beatsPerBar, swing, bar, progression, fillEvery: pick(random, [4, 8, 8]) };
}

const BARS: Record<LoopStyle, (random: Random) => LoopHit[]> = {
  house: (random) => [
    ...at('kick', [0, 1, 2, 3]),
    ...at('snare', [1, 3], 0.8),
    ...at('open', [0.5, 1.5, 2.5, 3.5], between(random, 0.4, 0.8)),
    ...at('hat', sixteenths(random, 4, 0.6), 0.4),
    ...pick(random, [
      at('bass', [0.5, 1.5, 2.5, 3.5], 1, 0.4),
      at('bass', [0.75, 1.5, 2.25, 3.5], 1, 0.4),
      at('bass', [0, 0.75, 1.5, 2, 2.75, 3.5], 1, 0.5),
    ]),
    ...pick(random, [at('chord', [0.75, 2.25], 0.8, 0.5), at('chord', [0.5, 1.75, 3.25], 0.8, 0.3)]),
  ],
  techno: (random) => [
    ...at('kick', [0, 1, 2, 3]),
    ...(random() < 0.5 ? at('snare', [1, 3], 0.5) : []),
    ...at('open', [0.5, 1.5, 2.5, 3.5], between(random, 0.3, 0.9)),
    ...at('hat', sixteenths(random, 4, 0.8), 0.3),
    ...at('ghost', sixteenths(random, 4, 0.2), 0.5),
    ...pick(random, [
      at('bass', [0.25, 0.5, 0.75, 1.25, 1.5, 1.75, 2.25, 2.5, 2.75, 3.25, 3.5, 3.75], 0.7, 0.22),
      at('bass', [0.5, 1.5, 2.5, 3.5], 0.9, 0.4),
      at('bass', [0.5, 0.75, 1.5, 2.75, 3.5], 0.9, 0.22),
    ]),
    ...at('chord', pick(random, [[0.75], [1.5, 3.25], [0.5, 2.75]]), 0.5, 0.25),
  ],
  breakbeat: (random) => [
    ...at(
      'kick',
      pick(random, [
        [0, 2.5],
        [0, 2.5],
        [0, 1.75, 2.5],
        [0, 0.5, 2.5],
        [0, 2.25, 2.5],
      ]),
    ),
    ...at('snare', [1, 3]),
    ...at('ghost', pick(random, [[1.75], [1.75, 2.25], [1.75, 3.75], [2.25, 3.75]]), 0.4),
    ...at('hat', [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5], between(random, 0.3, 0.6)),
    ...at('hat', sixteenths(random, 4, 0.25), 0.25),
    ...pick(random, [
      at('bass', [0, 2.5], 0.9, 1.4),
      at('bass', [0], 0.9, 3.8),
      at('bass', [0, 1.5, 3], 0.9, 0.9),
    ]),
    ...at('chord', pick(random, [[0], [1.5], [0, 2.5]]), 0.4, 1.5),
  ],
  'half-time': (random) => [
    ...at('kick', pick(random, [[0], [0, 0.75], [0, 1.5], [0, 3.5], [0, 1.5, 3.25]])),
    ...at('snare', [2]),
    ...at('hat', [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5], between(random, 0.3, 0.6)),
    ...at('hat', sixteenths(random, 4, 0.25), 0.25),
    ...pick(random, [at('bass', [0], 1, 1.9), at('bass', [0, 1.5], 1, 1), at('bass', [0, 3], 1, 0.9)]),
    ...at('chord', [0], 0.5, 3),
  ],
  swing: (random) => [
    ...at(
      'kick',
      pick(random, [
        [0, 2.75],
        [0, 1.75, 2.5],
        [0, 2.5],
        [0, 1, 2, 3],
      ]),
    ),
    ...at('snare', [1, 3]),
    ...at('hat', sixteenths(random, 4, 0.7), 0.5),
    ...at(
      'open',
      pick(random, [
        [1.5, 3.5],
        [0.5, 2.5],
        [0.5, 1.5, 2.5, 3.5],
      ]),
      0.6,
    ),
    ...at(
      'ghost',
      pick(random, [
        [0.75, 2.25],
        [1.75, 3.75],
        [0.25, 2.75],
      ]),
      0.5,
    ),
    ...pick(random, [
      at('bass', [0, 0.75, 2.5], 1, 0.6),
      at('bass', [0.5, 1.25, 2.75], 1, 0.4),
      at('bass', [0, 2.75, 3.5], 1, 0.5),
    ]),
    ...at(
      'chord',
      pick(random, [
        [0.75, 2.25],
        [1.25, 2.75],
      ]),
      0.7,
      0.25,
    ),
  ],
  'three-four': (random) => [
    ...at('kick', [0]),
    ...at('snare', pick(random, [[1, 2], [2]]), 0.7),
    ...at('hat', [0, 0.5, 1, 1.5, 2, 2.5], between(random, 0.3, 0.6)),
    ...at('bass', [0], 1, pick(random, [0.9, 1.9, 2.8])),
    ...at('chord', pick(random, [[1, 2], [0], [0, 2]]), 0.6, 0.8),
  ],
};

/** Hits of bar number `bar` with its fill or crash; `random` colours single hits. */
export function barOfLoop(groove: Groove, bar: number, random: Random): LoopHit[] {
  const fill = bar % groove.fillEvery === groove.fillEvery - 1;
  const half = groove.beatsPerBar - 1;
  const hits = groove.bar
    .filter((hit) => !(fill && hit.part === 'ghost'))
    .map((hit) => ({ ...hit, gain: hit.gain * between(random, 0.85, 1) }));
  if (fill)
    for (const step of [0.25, 0.5, 0.75]) {
      if (random() < 0.7) hits.push({ part: 'snare', beat: half + step, gain: 0.35 + 0.5 * step });
    }
  if (bar % 8 === 0) hits.push({ part: 'crash', beat: 0, gain: 0.6 });
  return hits;
}
