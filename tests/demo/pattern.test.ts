import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { LOOP_STYLES } from '../../demo/arrange/loops.ts';
import { swung } from '../../demo/arrange/tempo.ts';
import { monoOf, renderPattern, type PatternOptions } from '../../demo/pattern.ts';
import { rmsOf } from '../../demo/synth/noise.ts';

const base: PatternOptions = { style: 'house', bpm: 127.37, seconds: 20, seed: 5, startOffset: 0.3 };
const hash = (options: PatternOptions) => {
  const { left, right } = renderPattern(options);
  return createHash('sha256')
    .update(new Uint8Array(left.buffer))
    .update(new Uint8Array(right.buffer))
    .digest('hex');
};

describe('renderPattern', () => {
  it('gives the same samples for the same seed and others for another', () => {
    expect(hash(base)).toBe(hash(base));
    expect(hash({ ...base, seed: 6 })).not.toBe(hash(base));
  });

  it.each(LOOP_STYLES)('puts the first beat of %s on the sample that the truth names', (style) => {
    const { left, sampleRate, truth } = renderPattern({ ...base, style });
    const onset = left.findIndex((x) => x !== 0);
    expect(onset).toBe(Math.round(truth.beats[0] * sampleRate));
    expect(left.reduce((top, x) => Math.max(top, Math.abs(x)), 0)).toBeLessThanOrEqual(0.9 + 1e-6);
    expect(rmsOf({ left, right: left })).toBeGreaterThan(0.03);
  });

  it('spaces the beats of a constant tempo evenly, in bars of four or three', () => {
    const { beats, downbeats, beatsPerBar } = renderPattern({ ...base, style: 'three-four' }).truth;
    expect(beatsPerBar).toBe(3);
    expect(downbeats[1]).toBe(beats[3]);
    beats.forEach((time, i) => expect(time).toBeCloseTo(0.3 + (i * 60) / 127.37, 9));
    expect(beats.at(-1)! + 60 / 127.37).toBeGreaterThanOrEqual(20);
  });

  it('plays every kick of a house loop within one sample of its beat', () => {
    const parts = ['snare', 'hat', 'open', 'ghost', 'crash', 'bass', 'chord'] as const;
    const { left, sampleRate, truth } = renderPattern({ ...base, without: [...parts] });
    for (const time of truth.beats) {
      const sample = Math.round(time * sampleRate);
      expect(Math.abs(left[sample - 1])).toBeLessThan(0.02);
      expect(Math.max(...left.subarray(sample, sample + 200).map(Math.abs))).toBeGreaterThan(0.3);
    }
  });

  it('changes the tempo at the beat that was asked for', () => {
    const { beats, kind } = renderPattern({ ...base, bpm: 120, tempoChange: { atBeat: 8, bpm: 150 } }).truth;
    expect(kind).toBe('variable');
    expect(beats[8] - beats[7]).toBeCloseTo(0.5, 9);
    expect(beats[9] - beats[8]).toBeCloseTo(0.4, 9);
  });

  it('wanders with a drift, between the tempi that were asked for', () => {
    const drift = { fromBpm: 110, toBpm: 116, wander: 0.01, jitter: 0.004 };
    const { beats, bpm } = renderPattern({ ...base, drift }).truth;
    const tempi = beats.slice(1).map((time, i) => 60 / (time - beats[i]));
    expect(Math.min(...tempi)).toBeGreaterThan(108);
    expect(Math.max(...tempi)).toBeLessThan(118);
    expect(Math.max(...tempi) - Math.min(...tempi)).toBeGreaterThan(0.5);
    expect(bpm).toBeGreaterThan(110);
  });

  it('adds noise at the level that was asked for', () => {
    const quiet = { ...base, mutes: [{ from: 10, to: 20, parts: 'all' as const }], seconds: 20 };
    const { left, right, sampleRate } = renderPattern({ ...quiet, noiseDb: -12 });
    const part = (from: number, to: number) => {
      const range = [from * sampleRate, to * sampleRate] as const;
      return rmsOf({ left: left.subarray(...range), right: right.subarray(...range) });
    };
    // The muted half holds the noise alone, and noise and music add in power over the whole.
    const noise = part(15, 20) ** 2;
    const whole = part(0, 20) ** 2;
    expect(10 * Math.log10(noise / (whole - noise))).toBeCloseTo(-12, 0);
  });

  it('folds both sides into one', () => {
    const rendered = renderPattern({ ...base, seconds: 2 });
    expect(monoOf(rendered)[30000]).toBeCloseTo((rendered.left[30000] + rendered.right[30000]) / 2, 6);
  });
});

describe('swung', () => {
  it('delays only the off-beat sixteenths', () => {
    expect([0, 0.25, 0.5, 0.75, 1].map((beat) => swung(beat, 0.6))).toEqual([0, 0.3, 0.5, 0.8, 1]);
    expect(swung(1.25, 0.5)).toBeCloseTo(1.25, 12);
  });
});
