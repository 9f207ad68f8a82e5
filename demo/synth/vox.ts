import { StateVariableFilter } from './filter.ts';
import { hzOf, Oscillator } from './oscillator.ts';
import { fadeTail, mono, normalise, type Voice } from './voice.ts';

/** First three formants of a singer's vowels, Hz (rounded from memory of phonetics tables). */
const VOWELS = { ah: [750, 1150, 2600], oh: [450, 850, 2500], ee: [300, 2100, 2900] } as const;
export type Vowel = keyof typeof VOWELS;

const FORMANT_LEVELS = [1, 0.6, 0.25];
const SCOOP_SEMITONES = 2;

/** A sung chop: a pulse through formants, scooped from below, with vibrato; mono, peak 1. */
export function vox(rate: number, vowel: Vowel, note: number, seconds: number): Voice {
  const samples = new Float32Array(Math.round(rate * seconds));
  const throat = new Oscillator(rate);
  const formants = VOWELS[vowel].map((hz) => new StateVariableFilter(rate, hz, 9));
  for (let i = 0; i < samples.length; i++) {
    const t = i / rate;
    const scoop = -SCOOP_SEMITONES * Math.exp(-t / 0.03);
    const vibrato = 0.25 * Math.min(1, t / 0.3) * Math.sin(2 * Math.PI * 5.5 * t);
    const x = throat.pulse(hzOf(note + scoop + vibrato), 0.2);
    let sum = 0;
    for (let f = 0; f < formants.length; f++) {
      formants[f].push(x);
      sum += FORMANT_LEVELS[f] * formants[f].band;
    }
    samples[i] = sum * Math.min(1, t / 0.015) * Math.min(1, (seconds - t) / 0.06);
  }
  return normalise(mono(fadeTail(samples, rate)));
}
