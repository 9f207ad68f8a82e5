/** Heights of columns, with and without vector instructions: those that `readPyramid` gives, as the display has them. */
import fc from 'fast-check';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { LAYERS } from '../../shared/bands.ts';
import { MOST_COLUMNS, MOST_FINE, TABLES, heightsProgram } from '../../shared/display/heights-program.ts';
import { PEAK_SHARE, RMS_SHARE, TABLE_SIZE, heightOfLevel, levelOf } from '../../shared/display/heights.ts';
import { plainHeights } from '../../shared/display/plain-heights.ts';
import type { Resolution } from '../../shared/display/resolution.ts';
import { sourceOf } from '../../shared/display/source.ts';
import { vectorHeights } from '../../shared/display/vector-heights.ts';
import { type Pyramid, readPyramid } from '../../shared/pyramid.ts';
import { vectorOrPlain } from '../../shared/simd/vectors.ts';
import { FULL, type LevelAt, pyramidOf, randomLevels, sequence } from './tracks.ts';

const HOP = 0.005;
/** Many times as many fine columns as one run of the program takes, and no whole number of columns of any level. */
const DURATION = 61.237;

/** Random levels, some of them above full scale, full, hardly any, or none. */
const wild =
  (seed: number): LevelAt =>
  (layer, i) => {
    const { peak, rms } = randomLevels(seed)(layer, i);
    const next = sequence(seed * 31 + layer * 7907 + i * 101);
    next();
    const scale = [1, 1, 1, 1e-3, 1e-20, 1.9][Math.floor(next() * 6)];
    return { peak: peak * scale, rms: rms * scale };
  };

const full: LevelAt = () => ({ peak: 1, rms: 1 });
const whole = [randomLevels(1), wild(2), full].map((levels) => pyramidOf(DURATION, levels, HOP));
const [, wildOne, fullOne] = whole;
/** Its finest level only, so that columns of any width are read from it. */
const finestOf = (pyramid: Pyramid): Pyramid => ({ ...pyramid, levels: [pyramid.levels[0]] });
const pyramids = whole.flatMap((pyramid) => [pyramid, finestOf(pyramid)]);

interface Case {
  pyramid: Pyramid;
  /** s */
  width: number;
  resolution: Resolution;
  layer: number;
  from: number;
  to: number;
}

/** Fine columns of level 0 in a column: thirds, halves and wholes as decks have them, and anything. */
const fineColumns = fc.oneof(
  fc.integer({ min: 1, max: 120 }).map((n) => n / 3),
  fc.integer({ min: 1, max: 60 }).map((n) => n / 2),
  fc.integer({ min: 1, max: 32 }),
  fc.double({ min: 0.3, max: 40, noNaN: true }),
  fc.double({ min: 0.3, max: 2 * MOST_FINE, noNaN: true }),
);

/** Columns that begin within the track, as `DeckColumns` has them. */
function columnsOf({ duration }: Pyramid, width: number): number {
  let count = Math.ceil(duration / width);
  while (count > 0 && (count - 1) * width >= duration) count--;
  return count;
}

const cases: fc.Arbitrary<Case> = fc
  .record({
    pyramid: fc.constantFrom(...pyramids),
    width: fineColumns.map((n) => n * HOP),
    kind: fc.constantFrom('three-band' as const, 'tint' as const, 'plain' as const),
    heightSteps: fc.oneof(fc.constantFrom(8, 28, 48, 72), fc.integer({ min: 1, max: 65_535 })),
    layer: fc.nat(FULL - 1),
    ends: fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true })),
    stretch: fc.constantFrom('any', 'one', 'start', 'end', 'all'),
  })
  .map(({ pyramid, width, kind, heightSteps, layer, ends, stretch }) => {
    const count = columnsOf(pyramid, width);
    const [a, b] = ends.map((end) => Math.floor(end * count)).sort((x, y) => x - y);
    const one = Math.min(a, count - 1);
    const [from, to] = {
      any: [a, b],
      one: [one, one + 1],
      start: [0, b],
      end: [a, count],
      all: [0, count],
    }[stretch];
    const resolution = { kind, heightSteps, colourSteps: 1 };
    return { pyramid, width, resolution, layer: kind === 'three-band' ? layer : 0, from, to };
  });

function expected({ pyramid, width, resolution, layer, from, to }: Case): number[] {
  const { peak, rms } = readPyramid(pyramid, 0, width, to);
  const at = resolution.kind === 'three-band' ? layer : FULL;
  return Array.from({ length: to - from }, (_, i) =>
    heightOfLevel(peak[at][from + i], rms[at][from + i], resolution.heightSteps),
  );
}

/** Heights of a case; those before and after it must stay as they are. */
function made(make: typeof plainHeights, { pyramid, width, resolution, layer, from, to }: Case): number[] {
  const untouched = 7;
  const heights = new Uint16Array(to + 5).fill(untouched, 0, from).fill(untouched, to);
  const source = sourceOf(pyramid, width);
  if (!source) throw new Error('the pyramid is empty');
  make(source, resolution, layer, from, to, heights);
  expect([...heights.subarray(0, from), ...heights.subarray(to)].every((h) => h === untouched)).toBe(true);
  return [...heights.subarray(from, to)];
}

const ON_EDGE = 16;

/**
 * Levels, ON_EDGE to a column, whose height hangs on the order in which powers are added, and on the RMS being rounded
 * to single precision. Two loud powers add up to 16 m², with m half-way between two numbers of single precision; the
 * others are a little less than half the last bit of that: added one by one to the loud ones they are lost, added to
 * each other first they are not. The peak is such that the one RMS lies below the edge of a height, the other above.
 */
function onEdge(seed: number): { peak: number; rms: number[] } | null {
  const next = sequence(seed);
  next();
  // m = 5 q / 2²⁵ with 25 bits, rounded down; 16 m² = (12 q)² + (16 q)², each exact in single precision.
  const q = 3_355_445 + 4 * Math.floor(next() * 500_000);
  const m = (5 * q) / 2 ** 25;
  const below = Math.fround(m);
  const above = below + 2 * (m - below);
  if (below >= m) throw new Error('m is rounded up');
  const lastBit = 2 ** (Math.floor(Math.log2(16 * m * m)) - 52);
  const rms = Array.from({ length: ON_EDGE }, () => Math.fround(Math.sqrt((0.4 + 0.09 * next()) * lastBit)));
  const at = Math.floor(next() * (ON_EDGE - 1));
  rms[at] = (12 * q) / 2 ** 25;
  rms[at + 1] = (16 * q) / 2 ** 25;
  for (let edge = 2800; edge < 3600; edge++) {
    const share = next();
    const peak = Math.fround(
      ((edge + 0.5) / TABLE_SIZE - RMS_SHARE * (below + share * (above - below))) / PEAK_SHARE,
    );
    if (levelOf(peak, below) !== levelOf(peak, above)) return { peak, rms };
  }
  return null;
}

const ways: [string, () => typeof plainHeights][] = [
  ['without vector instructions', () => plainHeights],
  ['on vector instructions', vectorHeights],
];

describe.each(ways)('heights %s', (_, create) => {
  const make = create();

  it('are those of the pyramid, of any width, stretch, layer and resolution', () => {
    fc.assert(
      fc.property(cases, (c) => {
        expect(made(make, c).join(' ')).toBe(expected(c).join(' '));
      }),
      { numRuns: 300 },
    );
  });

  it.each(wildOne.levels.map(({ hop, length }, n) => ({ n, hop, length })))(
    'are read from level $n of $length columns',
    ({ n, hop }) => {
      for (const ratio of [2, 2.5, 20 / 3, 7.5, 7.999]) {
        const width = hop * ratio;
        const pyramid = wildOne;
        const to = columnsOf(pyramid, width);
        if (n > 0) expect(sourceOf(pyramid, width)?.level).toBe(pyramid.levels[n]);
        for (let layer = 0; layer < LAYERS.length - 1; layer++) {
          const resolution: Resolution = { kind: 'three-band', heightSteps: 65_535, colourSteps: 1 };
          const c = { pyramid, width, resolution, layer, from: 0, to };
          expect(made(make, c).join(' ')).toBe(expected(c).join(' '));
        }
      }
    },
  );

  it('add powers and round in the order of the pyramid, to the last bit', () => {
    const columns = Array.from({ length: 400 }, (_, i) => onEdge(i + 1)).filter((column) => column !== null);
    const levels = columns.flatMap(({ peak, rms }) => rms.map((each) => ({ peak, rms: each })));
    const pyramid = finestOf(pyramidOf(levels.length * HOP, (_, i) => levels[i], HOP));
    const resolution: Resolution = { kind: 'plain', heightSteps: 65_535, colourSteps: 1 };
    const c = { pyramid, width: HOP * ON_EDGE, resolution, layer: 0, from: 0, to: columns.length };
    const heights = expected(c);
    expect(made(make, c)).toEqual(heights);

    const heightBy = (rms: (values: number[]) => number) =>
      columns.map((column) => heightOfLevel(column.peak, rms(column.rms), resolution.heightSteps));
    const rootMean = (values: number[]) =>
      Math.sqrt(values.reduce((sum, each) => sum + each * each, 0) / values.length);
    const differing = (others: number[]) => others.filter((height, i) => height !== heights[i]).length;
    expect(differing(heightBy((values) => Math.fround(rootMean(values))))).toBe(0);
    expect(differing(heightBy((values) => Math.fround(rootMean([...values].reverse()))))).toBeGreaterThan(50);
    expect(differing(heightBy(rootMean))).toBeGreaterThan(50);
  });

  it('leave columns past the end of the track without a height', () => {
    const pyramid = finestOf(fullOne);
    const resolution: Resolution = { kind: 'plain', heightSteps: 100, colourSteps: 1 };
    for (const ratio of [0.5, 7.5, 2000]) {
      const count = Math.ceil(pyramid.levels[0].length / ratio);
      for (const from of [0, count - 1, count, count + 999]) {
        const to = from + 2 * MOST_COLUMNS;
        const heights = made(make, { pyramid, width: HOP * ratio, resolution, layer: 0, from, to });
        expect(heights).toEqual(heights.map((_, i) => (from + i < count ? 100 : 0)));
      }
    }
  });

  it('stay right when more displays take turns than there is room for', () => {
    const pyramid = wildOne;
    for (const round of [1, 2]) {
      for (let n = 1; n <= TABLES + 3; n++) {
        const resolution: Resolution = { kind: 'plain', heightSteps: 10 * n, colourSteps: 1 };
        const c = { pyramid, width: HOP * 3, resolution, layer: 0, from: 10 * round, to: 60 };
        expect(made(make, c)).toEqual(expected(c));
      }
    }
  });
});

describe('the program', () => {
  it('is small enough for browsers to compile at once on the page (4 KiB)', () => {
    expect(heightsProgram().length).toBeLessThan(4096);
  });
});

describe('where programs cannot run', () => {
  afterEach(() => vi.unstubAllGlobals());

  const missing: [string, unknown][] = [
    ['there is no WebAssembly', undefined],
    [
      'vector instructions are unknown',
      {
        Module: class {
          constructor() {
            throw new WebAssembly.CompileError('invalid numeric opcode');
          }
        },
      },
    ],
    [
      'there is no memory',
      {
        Module: WebAssembly.Module,
        Instance: class {
          constructor() {
            throw new RangeError('could not allocate memory');
          }
        },
      },
    ],
  ];

  it.each(missing)('because %s, heights are made without', async (_, webAssembly) => {
    vi.stubGlobal('WebAssembly', webAssembly);
    vi.resetModules();
    const fresh = await import('../../shared/display/quantise.ts');
    const { vectorHeights: freshVectors } = await import('../../shared/display/vector-heights.ts');
    expect(() => freshVectors()).toThrow('do not run here');
    const resolution: Resolution = { kind: 'plain', heightSteps: 48, colourSteps: 1 };
    const c = { pyramid: wildOne, width: HOP * 7.5, resolution, layer: 0, from: 3, to: 700 };
    expect(made(fresh.heightsInto, c)).toEqual(expected(c));
  });

  it('a mistake of our own is not taken for that', () => {
    const mistake = () => {
      throw new RangeError('start offset is outside the bounds of the buffer');
    };
    expect(() => vectorOrPlain(mistake, () => 'plain')).toThrow('outside the bounds');
  });
});
