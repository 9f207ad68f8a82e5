/** Signals for the stage tests: all by formula or seeded. */
import type { Stage } from '../../workers/stages/stage.ts';

/** Uniform numbers in [0, 1) from a seed (a 32-bit multiply-and-xorshift mixer). */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let x = state;
    x = Math.imul(x ^ (x >>> 16), 0x21f0aaad);
    x = Math.imul(x ^ (x >>> 15), 0x735a2d97);
    return ((x ^ (x >>> 15)) >>> 0) / 2 ** 32;
  };
}

export function noise(frames: number, amplitude: number, seed: number): Float32Array {
  const random = seededRandom(seed);
  return Float32Array.from({ length: frames }, () => amplitude * (2 * random() - 1));
}

export function sine(frames: number, frequency: number, sampleRate: number, amplitude: number): Float32Array {
  const w = (2 * Math.PI * frequency) / sampleRate;
  return Float32Array.from({ length: frames }, (_, i) => amplitude * Math.sin(w * i));
}

/** Cuts a signal into blocks of the given lengths (repeated) and runs it through a stage. */
export function runStage<R>(stage: Stage<R>, channels: readonly Float32Array[], blockLengths = [4096]): R {
  const { length } = channels[0];
  for (let from = 0, n = 0; from < length; n++) {
    const to = Math.min(length, from + blockLengths[n % blockLengths.length]);
    stage.push(channels.map((channel) => channel.slice(from, to)));
    from = to;
  }
  return stage.finish();
}

export function decibels(linear: number): number {
  return 20 * Math.log10(linear);
}

/** Complex response of an impulse response at a frequency: [real, imaginary]. */
export function responseAt(
  impulse: ArrayLike<number>,
  frequency: number,
  sampleRate: number,
): [number, number] {
  let [re, im] = [0, 0];
  for (let i = 0; i < impulse.length; i++) {
    const angle = (-2 * Math.PI * frequency * i) / sampleRate;
    re += impulse[i] * Math.cos(angle);
    im += impulse[i] * Math.sin(angle);
  }
  return [re, im];
}
