import { OfflineAudioContext } from 'node-web-audio-api';
import { describe, expect, it } from 'vitest';
import {
  type Biquad,
  BUTTERWORTH_Q,
  allpass,
  highpass,
  lowpass,
  response,
} from '../../workers/stages/biquad.ts';
import { decibels } from './signals.ts';

const KINDS = { lowpass, highpass, allpass };
const RATES = [8000, 22_050, 44_100, 48_000, 96_000, 192_000];

/**
 * The table of the W3C note "Audio EQ Cookbook" written out once more, unnormalised, straight from its text
 * (https://www.w3.org/TR/audio-eq-cookbook/#formulae): [b0, b1, b2, a0, a1, a2].
 */
function cookbook(kind: keyof typeof KINDS, f0: number, fs: number, q: number): number[] {
  const w0 = 2 * Math.PI * (f0 / fs);
  const alpha = Math.sin(w0) / (2 * q);
  const cos = Math.cos(w0);
  const denominator = [1 + alpha, -2 * cos, 1 - alpha];
  if (kind === 'lowpass') return [(1 - cos) / 2, 1 - cos, (1 - cos) / 2, ...denominator];
  if (kind === 'highpass') return [(1 + cos) / 2, -(1 + cos), (1 + cos) / 2, ...denominator];
  return [1 - alpha, -2 * cos, 1 + alpha, ...denominator];
}

describe('biquad sections', () => {
  for (const kind of Object.keys(KINDS) as (keyof typeof KINDS)[]) {
    it(`${kind}: coefficients of the W3C note Audio EQ Cookbook`, () => {
      for (const fs of RATES) {
        for (const f0 of [20, 200, 2500, 0.45 * fs]) {
          for (const q of [BUTTERWORTH_Q, 0.5, 4]) {
            const [b0, b1, b2, a0, a1, a2] = cookbook(kind, f0, fs, q);
            const section = KINDS[kind](f0, fs, q);
            const expected: Biquad = { b0: b0 / a0, b1: b1 / a0, b2: b2 / a0, a1: a1 / a0, a2: a2 / a0 };
            for (const name of Object.keys(expected) as (keyof Biquad)[])
              expect(section[name]).toBeCloseTo(expected[name], 14);
          }
        }
      }
    });

    it(`${kind}: response of a Web Audio implementation (getFrequencyResponse)`, () => {
      for (const fs of RATES) {
        const context = new OfflineAudioContext(1, 128, fs);
        for (const f0 of [200, 2500]) {
          const node = context.createBiquadFilter();
          node.type = kind;
          node.frequency.value = f0;
          // Web Audio takes the Q of low-pass and high-pass in dB, that of all-pass as a number.
          node.Q.value = kind === 'allpass' ? BUTTERWORTH_Q : decibels(BUTTERWORTH_Q);
          const frequencies = Float32Array.from([30, 100, 200, 500, 1000, 2500, 3500]);
          const magnitudes = new Float32Array(frequencies.length);
          const phases = new Float32Array(frequencies.length);
          node.getFrequencyResponse(frequencies, magnitudes, phases);
          const section = KINDS[kind](f0, fs);
          frequencies.forEach((frequency, i) => {
            const [re, im] = response(section, frequency, fs);
            // The node holds its parameters as 32-bit floats.
            expect(re).toBeCloseTo(magnitudes[i] * Math.cos(phases[i]), 4);
            expect(im).toBeCloseTo(magnitudes[i] * Math.sin(phases[i]), 4);
          });
        }
      }
    });
  }

  it('a Butterworth section is −3.01 dB at its frequency', () => {
    const [re, im] = response(lowpass(200, 44_100), 200, 44_100);
    expect(decibels(Math.hypot(re, im))).toBeCloseTo(-3.0103, 4);
  });

  it('refuses a frequency that the rate cannot carry', () => {
    expect(() => lowpass(4000, 8000)).toThrow(RangeError);
    expect(() => allpass(0, 8000)).toThrow(RangeError);
  });
});
