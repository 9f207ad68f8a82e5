import { StateVariableFilter } from './filter.ts';
import { Oscillator } from './oscillator.ts';
import type { Random } from './prng.ts';
import { bed, fadeTail, normalise, sides, type Voice } from './voice.ts';

export interface RiserShape {
  /** Hz: where the noise's band starts and ends */
  fromHz: number;
  toHz: number;
  /** 0..1: level of a tone that climbs with it */
  tone: number;
}

const EDGE_SECONDS = 0.03;

/** Noise that climbs in pitch and level for `seconds`; stereo, peak 1. */
export function riser(rate: number, shape: RiserShape, seconds: number, random: Random): Voice {
  const voice = bed(Math.round(rate * seconds));
  for (const side of sides(voice)) {
    const filter = new StateVariableFilter(rate, shape.fromHz, 1.6);
    const tone = new Oscillator(rate, random());
    for (let i = 0; i < side.length; i++) {
      const share = i / side.length;
      if (i % 32 === 0) filter.set(shape.fromHz * (shape.toHz / shape.fromHz) ** share, 1.6);
      filter.push(random() * 2 - 1);
      const pitch = 110 * 2 ** (2 * share);
      side[i] = (filter.band + (shape.tone ? shape.tone * tone.saw(pitch) : 0)) * (0.04 + 0.96 * share ** 2);
    }
    fadeTail(side, rate, EDGE_SECONDS);
  }
  return normalise(voice);
}

/** The opposite: a hit of noise that sinks away over `seconds`; stereo, peak 1. */
export function downlifter(rate: number, seconds: number, random: Random): Voice {
  const voice = bed(Math.round(rate * seconds));
  for (const side of sides(voice)) {
    const filter = new StateVariableFilter(rate, 4000, 0.9);
    for (let i = 0; i < side.length; i++) {
      const share = i / side.length;
      if (i % 32 === 0) filter.set(150 + 6000 * Math.exp(-share * 5), 0.9);
      filter.push(random() * 2 - 1);
      side[i] = filter.low * Math.exp(-share * 5);
    }
    fadeTail(side, rate, EDGE_SECONDS);
  }
  return normalise(voice);
}
