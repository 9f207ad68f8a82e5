import { StateVariableFilter } from './filter.ts';
import { Oscillator } from './oscillator.ts';
import { between, type Random } from './prng.ts';
import { fadeTail, normalise, type Voice } from './voice.ts';

/** A struck plate of metal: hi-hat, ride or crash, by decay. */
export interface HatShape {
  /** Time constant, s */
  decay: number;
  /** Hz: nothing much below it */
  floorHz: number;
  /** 0..1: share of the plate's own tones against noise */
  metal: number;
  /** Attack time, s (0 for a stick; a few ms for a shaker) */
  attack?: number;
}

/** Inharmonic ratios of the plate's tones (estimate by ear). */
const PLATE = [2, 2.83, 3.61, 4.23, 5.19, 6.47];
const DECAYS_HEARD = 5;

/** A hi-hat, shaker, ride or crash; stereo, peak 1. */
export function hat(rate: number, shape: HatShape, random: Random): Voice {
  const length = Math.round(rate * ((shape.attack ?? 0) + shape.decay * DECAYS_HEARD));
  const base = between(random, 380, 460);
  const tones = PLATE.map(() => new Oscillator(rate, random()));
  const plate = new Float32Array(shape.metal > 0 ? length : 0);
  for (let i = 0; i < plate.length; i++) {
    for (let n = 0; n < PLATE.length; n++) plate[i] += tones[n].pulse(base * PLATE[n]) / PLATE.length;
  }
  const side = () => {
    const samples = new Float32Array(length);
    const floor = new StateVariableFilter(rate, shape.floorHz, 0.9);
    for (let i = 0; i < length; i++) {
      const t = i / rate;
      const noise = random() * 2 - 1;
      floor.push(plate.length ? shape.metal * 2 * plate[i] + (1 - shape.metal) * noise : noise);
      const rise = shape.attack ? Math.min(1, t / shape.attack) : 1;
      samples[i] = floor.high * rise * Math.exp(-Math.max(0, t - (shape.attack ?? 0)) / shape.decay);
    }
    return fadeTail(samples, rate);
  };
  return normalise({ left: side(), right: side() });
}
