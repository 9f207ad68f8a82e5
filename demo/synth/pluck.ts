import { filterInPlace } from './filter.ts';
import { hzOf } from './oscillator.ts';
import type { Random } from './prng.ts';
import { fadeTail, mono, normalise, type Voice } from './voice.ts';

const STRUM_SECONDS = 0.006;

/**
 * Muted guitar strings strummed one after the other; mono, peak 1. Each is a noise burst that runs round a
 * damped delay line (Karplus and Strong, "Digital Synthesis of Plucked-String and Drum Timbres", 1983).
 */
export function strum(
  rate: number,
  notes: readonly number[],
  seconds: number,
  damping: number,
  random: Random,
): Voice {
  const samples = new Float32Array(Math.round(rate * (seconds + STRUM_SECONDS * notes.length)));
  notes.forEach((note, n) => {
    const start = Math.round(n * STRUM_SECONDS * rate);
    const period = rate / hzOf(note) - 0.5;
    const line = Float32Array.from({ length: Math.floor(period) }, () => random() * 2 - 1);
    // The fraction of a sample that the line cannot hold, as an allpass.
    const fraction = period - line.length;
    const tune = (1 - fraction) / (1 + fraction);
    let at = 0;
    let last = 0;
    let input = 0;
    let output = 0;
    for (let i = start; i < samples.length; i++) {
      const here = line[at];
      const smooth = damping * 0.5 * (here + last);
      last = here;
      output = tune * (smooth - output) + input;
      input = smooth;
      line[at] = output;
      at = at + 1 === line.length ? 0 : at + 1;
      samples[i] += here * Math.exp((-3 * (i - start)) / rate / seconds);
    }
  });
  filterInPlace(samples, rate, 'high', 220);
  return normalise(mono(fadeTail(samples, rate)));
}
