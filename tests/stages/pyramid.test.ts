import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BASS_MIDDLE_HZ, LAYERS, MIDDLE_TREBLE_HZ } from '../../shared/bands.ts';
import { type Pyramid, REDUCTION, readPyramid } from '../../shared/pyramid.ts';
import { BandSplit } from '../../workers/stages/band-split.ts';
import { levelsOf } from '../../workers/stages/levels.ts';
import { PIECE_COLUMNS } from '../../workers/stages/column-store.ts';
import { TOP_COLUMNS, createPyramidStage, fineHop } from '../../workers/stages/pyramid.ts';
import { SimdSplitMeter } from '../../workers/stages/simd/simd-split-meter.ts';
import { PlainSplitMeter } from '../../workers/stages/split-meter.ts';
import { decibels, noise, runStage, sine } from './signals.ts';

const RATE = 44_100;
const [BASS, MIDDLE, TREBLE, FULL] = LAYERS.map((_, i) => i);

function pyramidOf(channels: readonly Float32Array[], sampleRate = RATE, blocks?: number[]): Pyramid {
  return runStage(createPyramidStage({ sampleRate, channels: channels.length }), channels, blocks);
}

/** Levels of one layer over the middle of a track, away from the filters' start. */
function middleLevels(pyramid: Pyramid, layer: number): { peak: number; rms: number } {
  const { peak, rms } = readPyramid(pyramid, pyramid.duration / 4, pyramid.duration / 2, 1);
  return { peak: peak[layer][0], rms: rms[layer][0] };
}

/** Gain of a band at a frequency: the fourth-order magnitudes of Linkwitz 1976. */
function bandGain(layer: number, frequency: number): number {
  const below = (crossover: number) => 1 / (1 + (frequency / crossover) ** 4);
  if (layer === BASS) return below(BASS_MIDDLE_HZ);
  const above = 1 - below(BASS_MIDDLE_HZ);
  return above * (layer === MIDDLE ? below(MIDDLE_TREBLE_HZ) : 1 - below(MIDDLE_TREBLE_HZ));
}

describe('pyramid stage', () => {
  it.each([1, 0.1])('sines of amplitude %f read their level in the band that holds them', (amplitude) => {
    // By formula: a sine's RMS is its amplitude / √2, −3.01 dB; what the crossovers leave of it is the fourth-order
    // gain of Linkwitz 1976.
    const inBand: [number, number][] = [
      [40, BASS],
      [700, MIDDLE],
      [11_003, TREBLE],
    ];
    for (const rate of [RATE, 48_000, 96_000, 192_000]) {
      for (const [frequency, layer] of inBand) {
        const tone = sine(rate, frequency, rate, amplitude);
        const pyramid = pyramidOf([tone, tone], rate);
        for (const where of [layer, FULL]) {
          const { peak, rms } = middleLevels(pyramid, where);
          const gain = where === FULL ? 1 : bandGain(layer, frequency);
          expect(Math.abs(decibels(peak / (amplitude * gain)))).toBeLessThan(0.02);
          expect(Math.abs(decibels(rms / (amplitude * gain)) + 3.0103)).toBeLessThan(0.04);
        }
        for (const other of [BASS, MIDDLE, TREBLE].filter((b) => b !== layer))
          expect(decibels(middleLevels(pyramid, other).peak)).toBeLessThan(decibels(amplitude) - 20);
      }
    }
  });

  it('inverted channels do not cancel; one channel of two is 3.01 dB down in power only', () => {
    const tone = sine(RATE, 100, RATE, 0.5);
    const both = middleLevels(pyramidOf([tone, tone]), FULL);
    const inverted = pyramidOf([tone, tone.map((x) => -x)]);
    expect(pyramidOf([tone]).levels).toEqual(pyramidOf([tone, tone]).levels);
    LAYERS.forEach((_, layer) =>
      expect(middleLevels(inverted, layer)).toEqual(middleLevels(pyramidOf([tone, tone]), layer)),
    );
    const oneSided = middleLevels(pyramidOf([tone, new Float32Array(RATE)]), FULL);
    expect(oneSided.peak).toBe(both.peak);
    expect(decibels(oneSided.rms / both.rms)).toBeCloseTo(-3.0103, 4);
  });

  it('measures each of six channels', () => {
    const quiet = new Float32Array(RATE);
    for (let c = 0; c < 6; c++) {
      const channels = Array.from({ length: 6 }, (_, i) => (i === c ? sine(RATE, 700, RATE, 0.5) : quiet));
      const { peak, rms } = middleLevels(pyramidOf(channels), MIDDLE);
      const level = 0.5 * bandGain(MIDDLE, 700);
      expect(peak).toBeCloseTo(level, 3);
      expect(rms).toBeCloseTo(level / Math.SQRT2 / Math.sqrt(6), 3);
    }
  });

  it('puts a click into its column, at its true height, even above full scale', () => {
    const hop = fineHop(RATE);
    const clicks = [0, 1, hop - 1, hop, 7 * hop + 3, 999];
    for (const at of clicks) {
      const track = new Float32Array(10 * hop);
      track[at] = -1.75;
      const fine = pyramidOf([track]).levels[0];
      const expected = new Array(10).fill(0);
      expected[Math.floor(at / hop)] = 1.75;
      expect([...fine.peak[FULL]]).toEqual(expected);
      expect(fine.rms[FULL][Math.floor(at / hop)]).toBeCloseTo(1.75 / Math.sqrt(hop), 6);
    }
  });

  it('level 0 equals a direct computation', () => {
    const channels = [noise(5000, 0.9, 1), noise(5000, 0.3, 2)];
    const hop = fineHop(RATE);
    const layers = channels.map((channel) => {
      const bands = [0, 1, 2].map(() => new Float64Array(channel.length));
      new BandSplit(RATE).split(channel, 0, channel.length, bands[0], bands[1], bands[2]);
      return [...bands, Float64Array.from(channel)];
    });
    const [level] = pyramidOf(channels).levels;
    expect(level.hop).toBe(hop / RATE);
    expect(level.length).toBe(Math.ceil(5000 / hop));
    for (let layer = 0; layer < LAYERS.length; layer++) {
      for (let column = 0; column < level.length; column++) {
        const stretch = layers.map((bands) => bands[layer].subarray(column * hop, (column + 1) * hop));
        const samples = stretch.flatMap((part) => [...part]);
        const power = samples.reduce((sum, x) => sum + x * x, 0) / samples.length;
        expect(level.peak[layer][column]).toBe(Math.fround(Math.max(...samples.map(Math.abs))));
        expect(level.rms[layer][column]).toBeCloseTo(Math.sqrt(power), 6);
      }
    }
  });

  it('each level equals a direct computation from the finest, down to a few hundred columns', () => {
    const seconds = 40;
    const channels = [noise(seconds * RATE, 0.7, 3), noise(seconds * RATE, 0.5, 4)];
    const { levels, duration } = pyramidOf(channels);
    expect(duration).toBe(seconds);
    expect(levels[levels.length - 1].length).toBeLessThanOrEqual(TOP_COLUMNS);
    expect(levels.length).toBeGreaterThan(2);
    const fine = levels[0];
    levels.forEach((level, n) => {
      const group = REDUCTION ** n;
      expect(level.hop).toBeCloseTo(fine.hop * group, 12);
      expect(level.length).toBe(Math.ceil(fine.length / group));
      // The last column is left out: it joins fewer columns, which higher levels weigh as full ones.
      for (let column = 0; column < level.length - 1; column += 7) {
        const part = (values: Float32Array) => [...values.subarray(column * group, (column + 1) * group)];
        for (let layer = 0; layer < LAYERS.length; layer++) {
          expect(level.peak[layer][column]).toBe(Math.max(...part(fine.peak[layer])));
          const power = part(fine.rms[layer]).reduce((sum, x) => sum + x * x, 0) / group;
          expect(level.rms[layer][column]).toBeCloseTo(Math.sqrt(power), 6);
        }
      }
    });
  });

  it('does not depend on how the track is cut into blocks', () => {
    const channels = [noise(30_000, 0.9, 5), noise(30_000, 0.2, 6)];
    // Silence at the end runs the filters down into their floor.
    for (const channel of channels) channel.fill(0, 9000);
    const whole = pyramidOf(channels, RATE, [30_000]);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 9000 }), { minLength: 1, maxLength: 12 }), (blocks) => {
        expect(pyramidOf(channels, RATE, blocks)).toEqual(whole);
      }),
      { seed: 11, numRuns: 60 },
    );
  });

  it('the vector meter gives the plain meter’s results to the last bit', () => {
    for (const [sampleRate, count] of [
      [8000, 1],
      [44_100, 2],
      [48_000, 3],
      [192_000, 6],
    ]) {
      const info = { sampleRate, channels: count };
      const channels = Array.from({ length: count }, (_, c) => noise(sampleRate, 0.9, 20 + c));
      const plain = runStage(createPyramidStage(info, new PlainSplitMeter(info)), channels, [5000, 1, 777]);
      const vector = runStage(createPyramidStage(info, new SimdSplitMeter(info)), channels, [5000, 1, 777]);
      expect(vector).toEqual(plain);
    }
  });

  it('a snapshot shows what has come so far in few columns', () => {
    const seconds = 30;
    const channels = [noise(seconds * RATE, 0.7, 7), noise(seconds * RATE, 0.5, 8)];
    const stage = createPyramidStage({ sampleRate: RATE, channels: 2 });
    stage.push(channels.map((channel) => channel.subarray(0, 10 * RATE)));
    const early = stage.snapshot(300);
    stage.push(channels.map((channel) => channel.subarray(10 * RATE)));
    const whole = stage.finish();
    expect(early.duration).toBe(10);
    expect(early.levels).toHaveLength(1);
    const [level] = early.levels;
    expect(level.length).toBeGreaterThan(300 / REDUCTION);
    expect(level.length).toBeLessThanOrEqual(300);
    const same = whole.levels.find((l) => Math.abs(l.hop - level.hop) < 1e-12);
    // The last column of the snapshot was not full yet.
    for (let layer = 0; layer < LAYERS.length; layer++)
      expect(level.peak[layer].subarray(0, -1)).toEqual(same?.peak[layer].subarray(0, level.length - 1));
  });

  it('a snapshot of very few columns is the top of the finished pyramid, however long the track', () => {
    const info = { sampleRate: 8000, channels: 1 };
    // More fine columns than the store keeps in one piece.
    const stage = createPyramidStage(info);
    stage.push([noise(60 * info.sampleRate, 0.7, 9)]);
    const [level] = stage.snapshot(1).levels;
    const whole = stage.finish();
    expect(whole.levels[0].length).toBeGreaterThan(PIECE_COLUMNS);
    expect(level.length).toBe(1);
    expect(level.hop).toBeGreaterThanOrEqual(whole.duration);
    for (let layer = 0; layer < LAYERS.length; layer++)
      expect(level.peak[layer][0]).toBe(Math.max(...whole.levels[0].peak[layer]));
  });

  it('an empty track and one sample are pyramids too', () => {
    const empty = createPyramidStage({ sampleRate: RATE, channels: 2 }).finish();
    expect(empty.duration).toBe(0);
    expect(empty.levels[0].length).toBe(0);
    const one = pyramidOf([Float32Array.of(0.5)]);
    expect(one.levels[0].length).toBe(1);
    expect(one.levels[0].peak[FULL][0]).toBe(0.5);
    expect(one.levels[0].rms[FULL][0]).toBe(0.5);
  });
});

describe('levels', () => {
  it('peak is the largest sample, and silence is nothing above −90 dBFS', () => {
    const at = (db: number) => {
      const track = new Float32Array(RATE);
      track[1234] = -(10 ** (db / 20));
      return levelsOf(pyramidOf([new Float32Array(RATE), track]));
    };
    expect(at(0)).toEqual({ peak: 1, silent: false });
    expect(at(6).peak).toBe(Math.fround(10 ** (6 / 20)));
    expect(decibels(at(-20).peak)).toBeCloseTo(-20, 5);
    expect(at(-89.9).silent).toBe(false);
    expect(at(-90.1).silent).toBe(true);
    expect(levelsOf(pyramidOf([new Float32Array(100)]))).toEqual({ peak: 0, silent: true });
    expect(levelsOf({ duration: 0, levels: [] })).toEqual({ peak: 0, silent: true });
  });
});
