import { StateVariableFilter } from './filter.ts';
import { hzOf, Oscillator } from './oscillator.ts';
import type { Random } from './prng.ts';
import { softClip } from './shape.ts';
import { fadeTail, mono, normalise, type Voice } from './voice.ts';

export interface BassShape {
  /** `round`: pulse over sine; `reese`: two saws that beat; `sub`: a driven sine; `fingers`: plucked */
  kind: 'round' | 'reese' | 'sub' | 'fingers';
  /** Hz of the filter at rest, and how far the note's attack opens it */
  cutoffHz: number;
  openHz: number;
  /** Time constant of the filter's fall, s */
  decay: number;
  /** Hz of a slow sway of the filter; 0 for none */
  swayHz?: number;
}

const ATTACK = 0.003;
const RELEASE = 0.02;
const REESE_CENTS = 14;

/** One bass note of `seconds`; mono, peak 1. */
export function bassNote(
  rate: number,
  shape: BassShape,
  note: number,
  seconds: number,
  random: Random,
): Voice {
  const samples = new Float32Array(Math.max(2, Math.round(rate * seconds)));
  const hz = hzOf(note);
  const detune = 2 ** (REESE_CENTS / 1200);
  const tones = [0, 1, 2].map(() => new Oscillator(rate, shape.kind === 'reese' ? random() : 0));
  const filter = new StateVariableFilter(rate, shape.cutoffHz, 1);
  for (let i = 0; i < samples.length; i++) {
    const t = i / rate;
    const sway = shape.swayHz ? 0.5 - 0.5 * Math.cos(2 * Math.PI * shape.swayHz * t) : 0;
    if (i % 16 === 0) {
      const open = shape.openHz * (Math.exp(-t / shape.decay) + sway);
      filter.set(shape.cutoffHz + open, shape.kind === 'round' ? 1.6 : 0.9);
    }
    let x: number;
    if (shape.kind === 'sub') x = softClip(2.2 * tones[0].sine(hz)) + 0.05 * tones[1].saw(hz);
    else if (shape.kind === 'reese')
      x = 0.5 * tones[0].saw(hz * detune) + 0.5 * tones[1].saw(hz / detune) + 0.6 * tones[2].sine(hz);
    else if (shape.kind === 'fingers') x = 0.7 * tones[0].saw(hz) + 0.5 * tones[1].pulse(hz, 0.3);
    else x = 0.6 * tones[0].pulse(hz, 0.42) + 0.7 * tones[1].sine(hz);
    filter.push(x);
    const level =
      Math.min(1, t / ATTACK) *
      Math.min(1, (samples.length - i) / rate / RELEASE) *
      (shape.kind === 'fingers' ? Math.exp(-t / 0.45) : 1);
    samples[i] = softClip(1.3 * filter.low) * level;
  }
  return normalise(mono(fadeTail(samples, rate)));
}
