import { describe, expect, it } from 'vitest';
import {
  LATEST_CENTRE_SECONDS,
  PREVIEW_MIN_RATE,
  PREVIEW_SECONDS,
  createPreviewStage,
} from '../../workers/stages/preview.ts';
import { decibels, noise, runStage, sine } from './signals.ts';

const RATES = [8000, 11_025, 16_000, 22_050, 32_000, 44_100, 48_000, 88_200, 96_000, 192_000];

function previewOf(channels: Float32Array[], sampleRate: number, blocks?: number[]) {
  return runStage(createPreviewStage({ sampleRate, channels: channels.length }), channels, blocks);
}

/** Largest sample away from both ends. */
function inner(samples: Float32Array): number {
  return samples.subarray(200, -200).reduce((top, value) => Math.max(top, Math.abs(value)), 0);
}

describe('preview', () => {
  it.each(RATES)('%i Hz: keeps what is below 3 kHz, at its time, and folds nothing down onto it', (rate) => {
    const frames = rate / 2;
    for (const frequency of [100, 1000, 3000]) {
      const preview = previewOf([sine(frames, frequency, rate, 0.5)], rate);
      expect(preview.startTime).toBe(0);
      // The same sine by formula at the preview's own rate: no delay, no change of level.
      const expected = sine(preview.samples.length, frequency, preview.sampleRate, 0.5);
      const difference = preview.samples.map((value, i) => value - expected[i]);
      expect(decibels(inner(difference) / 0.5)).toBeLessThan(-45);
    }
    for (let f = PREVIEW_MIN_RATE; f < rate / 2; f += 1300) {
      const { samples, sampleRate } = previewOf([sine(frames, f, rate, 0.5)], rate);
      const folded = Math.abs(f - sampleRate * Math.round(f / sampleRate));
      if (folded > 3000) continue; // lies where the filter is allowed to be on its way down
      expect(decibels(inner(samples) / 0.5)).toBeLessThan(-45);
    }
  });

  it('has a rate of at least 11 025 Hz and less than twice that wherever the file has', () => {
    for (const rate of RATES) {
      const { sampleRate, samples } = previewOf([noise(rate, 0.5, 1)], rate);
      expect(sampleRate).toBeGreaterThanOrEqual(Math.min(rate, PREVIEW_MIN_RATE));
      expect(sampleRate).toBeLessThan(2 * PREVIEW_MIN_RATE);
      expect(Math.abs(samples.length / sampleRate - 1)).toBeLessThan(0.001);
    }
  });

  it('does not depend on how the track is cut into blocks', () => {
    const channels = [noise(60_000, 0.9, 2), noise(60_000, 0.4, 3)];
    const whole = previewOf(channels, 44_100, [60_000]);
    for (const blocks of [[1, 2, 3, 5000], [4096], [441], [7, 11_111]])
      expect(previewOf(channels, 44_100, blocks)).toEqual(whole);
  });

  it('inverted channels do not cancel', () => {
    const tone = sine(44_100, 200, 44_100, 0.9);
    const { samples } = previewOf([tone, tone.map((x) => -x)], 44_100);
    expect(inner(samples)).toBeGreaterThan(0.25);
    expect(inner(previewOf([tone, tone], 44_100).samples)).toBeCloseTo(0.9, 2);
  });

  /** A ramp of clock time: the value of a sample tells where in the track it is from. */
  function clockPreview(seconds: number) {
    const rate = 8000;
    const stage = createPreviewStage({ sampleRate: rate, channels: 1 });
    const block = new Float32Array(rate);
    for (let s = 0; s < seconds; s++) {
      for (let i = 0; i < rate; i++) block[i] = s + i / rate;
      stage.push([block]);
    }
    return stage.finish();
  }

  it('is the middle of a track that is longer', () => {
    for (const seconds of [10, 180, 300, 421]) {
      const { samples, startTime, sampleRate } = clockPreview(seconds);
      const length = Math.min(seconds, PREVIEW_SECONDS);
      expect(samples.length / sampleRate).toBeCloseTo(length, 2);
      expect(startTime).toBeCloseTo((seconds - length) / 2, 2);
      expect(samples[0]).toBeCloseTo(startTime, 3);
      expect(samples[samples.length - 1]).toBeCloseTo(startTime + length, 2);
    }
  });

  it('of a very long track is the stretch around its sixth minute', () => {
    const { samples, startTime, sampleRate } = clockPreview(3600);
    expect(samples.length / sampleRate).toBeCloseTo(PREVIEW_SECONDS, 2);
    expect(startTime).toBeCloseTo(LATEST_CENTRE_SECONDS - PREVIEW_SECONDS / 2, 2);
    expect(samples[0]).toBeCloseTo(startTime, 3);
  });

  it('an empty track has an empty preview', () => {
    expect(createPreviewStage({ sampleRate: 44_100, channels: 2 }).finish().samples).toHaveLength(0);
  });
});
