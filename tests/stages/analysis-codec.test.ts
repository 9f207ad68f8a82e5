import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc32 as crc32OfNode } from 'node:zlib';
import { ANALYSIS_VERSION, type TrackAnalysis } from '../../shared/analysis.ts';
import { decodeAnalysis, encodeAnalysis } from '../../shared/analysis-codec.ts';
import { LAYERS } from '../../shared/bands.ts';
import { crc32 } from '../../shared/crc32.ts';

/** Records as plain objects, so that strict equality can be asked for. */
const record = <T>(model: { [K in keyof T]: fc.Arbitrary<T[K]> }) =>
  fc.record(model, { noNullPrototype: true });
const seconds = fc.double({ min: 0, max: 10_000, noNaN: true });
const share = fc.double({ min: 0, max: 1, noNaN: true });

const level = fc.nat({ max: 40 }).chain((length) => {
  const layers = fc.array(fc.float32Array({ minLength: length, maxLength: length }), {
    minLength: LAYERS.length,
    maxLength: LAYERS.length,
  });
  const hop = fc.double({ min: 0.001, max: 100, noNaN: true });
  return record({ hop, length: fc.constant(length), peak: layers, rms: layers });
});

const analyses: fc.Arbitrary<TrackAnalysis> = record({
  version: fc.constant(ANALYSIS_VERSION),
  source: record({
    container: fc.string({ unit: 'binary' }),
    codec: fc.string(),
    lossless: fc.boolean(),
    sampleRate: fc.integer({ min: 8000, max: 192_000 }),
    channels: fc.integer({ min: 1, max: 8 }),
    bitDepth: fc.option(fc.integer({ min: 8, max: 64 })),
    bitrate: fc.option(fc.nat()),
  }),
  duration: seconds,
  peak: fc.double(),
  silent: fc.boolean(),
  partial: fc.option(
    record({ reason: fc.constantFrom('truncated' as const, 'damaged' as const), sentence: fc.string() }),
  ),
  pyramid: record({ duration: seconds, levels: fc.array(level, { maxLength: 5 }) }),
  grid: record({
    kind: fc.constantFrom('constant' as const, 'variable' as const, 'none' as const),
    segments: fc.array(record({ startBeat: fc.double(), startTime: fc.double(), bpm: seconds })),
    beatsPerBar: fc.constantFrom(3, 4),
    firstBeatInBar: fc.integer({ min: 0, max: 3 }),
    phraseOffsetBars: fc.option(fc.integer({ min: 0, max: 7 })),
    endTime: seconds,
    confidence: share,
    downbeatConfidence: share,
    regions: fc.array(record({ startTime: seconds, endTime: seconds, confidence: share })),
  }),
  sections: fc.array(
    record({
      startTime: seconds,
      endTime: seconds,
      label: fc.string(),
      strength: share,
      why: fc.string(),
      energy: share,
    }),
  ),
  key: fc.option(record({ name: fc.string(), confidence: share })),
  loudness: fc.option(
    record({
      integratedDb: fc.double(),
      shortTermMaxDb: fc.double(),
      rangeDb: fc.double(),
      truePeakDb: fc.double(),
    }),
  ),
});

const [example] = fc.sample(
  analyses.filter((a) => a.pyramid.levels.some((l) => l.length > 4)),
  { numRuns: 1, seed: 5 },
);

describe('analysis codec', () => {
  it('gives back what was stored', () => {
    fc.assert(
      // toStrictEqual tells −0 from 0, and holds for NaN and the infinities.
      fc.property(analyses, (analysis) => {
        expect(decodeAnalysis(encodeAnalysis(analysis))).toStrictEqual(analysis);
      }),
      { seed: 3, numRuns: 200 },
    );
  });

  it('reads bytes that lie anywhere in a buffer, and gives each array a buffer of its own', () => {
    const bytes = encodeAnalysis(example);
    const shifted = new Uint8Array(bytes.length + 20).subarray(3, 3 + bytes.length);
    shifted.set(bytes);
    const read = decodeAnalysis(shifted);
    expect(read).toStrictEqual(example);
    const buffers = read.pyramid.levels.flatMap(({ peak, rms }) => [...peak, ...rms].map((a) => a.buffer));
    expect(new Set(buffers).size).toBe(buffers.length);
    expect(buffers).not.toContain(shifted.buffer);
  });

  it('is refused with a sentence when anything is damaged', () => {
    const bytes = encodeAnalysis(example);
    fc.assert(
      fc.property(fc.nat({ max: bytes.length - 1 }), fc.integer({ min: 1, max: 255 }), (at, change) => {
        const damaged = bytes.slice();
        damaged[at] ^= change;
        expect(() => decodeAnalysis(damaged)).toThrow(
          /^This (stored analysis .*|is not a stored analysis)\.$/,
        );
      }),
      { seed: 4, numRuns: 500 },
    );
    for (const length of [0, 3, 15, 16, 40, bytes.length - 4, bytes.length - 1])
      expect(() => decodeAnalysis(bytes.subarray(0, length))).toThrow(/^This /);
  });

  it('says when it is of another version', () => {
    const older = { ...example, version: 99 } as unknown as TrackAnalysis;
    expect(() => decodeAnalysis(encodeAnalysis(older))).toThrow('version 99');
  });

  it('refuses a whole file whose arrays do not fit together', () => {
    const [first, ...rest] = example.pyramid.levels;
    const wrong = { ...first, length: first.length + 1 };
    const broken = { ...example, pyramid: { ...example.pyramid, levels: [wrong, ...rest] } };
    expect(() => decodeAnalysis(encodeAnalysis(broken))).toThrow('damaged');
  });

  it('is little larger than its floats', () => {
    const floats = example.pyramid.levels.reduce((sum, l) => sum + 2 * LAYERS.length * l.length, 0);
    const header = JSON.stringify({ ...example, pyramid: { ...example.pyramid, levels: [] } }).length;
    expect(encodeAnalysis(example).length).toBeLessThan(4 * floats + 2 * header + 4000);
  });

  it('CRC-32 is that of zlib, and of the check value "123456789" → CBF43926 (ISO 3309 polynomial)', () => {
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => crc32(bytes) === crc32OfNode(bytes)),
      { seed: 6 },
    );
  });
});
