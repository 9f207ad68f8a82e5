import { StateVariableFilter } from './filter.ts';
import type { Random } from './prng.ts';
import { softClip } from './shape.ts';
import { fadeTail, mono, normalise, type Voice } from './voice.ts';

/** A drum with wires: two modes of the skin and noise. */
export interface SnareShape {
  /** Hz of the lower mode */
  toneHz: number;
  /** Time constants of skin and wires, s */
  toneDecay: number;
  noiseDecay: number;
  /** 0..1: share of the wires */
  wires: number;
  /** Hz: centre of the wires' noise */
  brightHz: number;
}

/** Ratio of the skin's second mode to its first (estimate by ear). */
const SECOND_MODE = 1.62;

/** A snare drum; mono, peak 1. */
export function snare(rate: number, shape: SnareShape, random: Random): Voice {
  const length = Math.round(rate * Math.max(shape.toneDecay, shape.noiseDecay) * 6);
  const samples = new Float32Array(length);
  const wires = new StateVariableFilter(rate, shape.brightHz, 0.6);
  const floor = new StateVariableFilter(rate, 400);
  let turn = 0.1;
  for (let i = 0; i < length; i++) {
    const t = i / rate;
    turn += (shape.toneHz * (1 + 0.5 * Math.exp(-t / 0.008))) / rate;
    const skin =
      (Math.sin(2 * Math.PI * turn) + 0.5 * Math.sin(2 * Math.PI * turn * SECOND_MODE)) *
      Math.exp(-t / shape.toneDecay);
    wires.push(random() * 2 - 1);
    floor.push(wires.band + 0.5 * wires.high);
    const noise = floor.high * Math.exp(-t / shape.noiseDecay);
    samples[i] = softClip(1.4 * ((1 - shape.wires) * skin + 1.3 * shape.wires * noise));
  }
  return normalise(mono(fadeTail(samples, rate)));
}

export interface ClapShape {
  /** Number of hands before the tail, and the time between them, s */
  hands: number;
  spread: number;
  /** Time constant of the tail, s */
  decay: number;
  /** Hz: centre of the noise */
  centreHz: number;
}

/** Hand claps: short bursts, then a tail; stereo, peak 1. The first burst is the attack. */
export function clap(rate: number, shape: ClapShape, random: Random): Voice {
  const length = Math.round(rate * (shape.hands * shape.spread + shape.decay * 6));
  const side = () => {
    const samples = new Float32Array(length);
    const colour = new StateVariableFilter(rate, shape.centreHz, 1.1);
    for (let i = 0; i < length; i++) {
      const t = i / rate;
      const hand = Math.min(shape.hands - 1, Math.floor(t / shape.spread));
      const since = t - hand * shape.spread;
      const last = hand === shape.hands - 1;
      colour.push(random() * 2 - 1);
      samples[i] = (colour.band + 0.3 * colour.high) * Math.exp(-since / (last ? shape.decay : 0.004));
    }
    return fadeTail(samples, rate);
  };
  return normalise({ left: side(), right: side() });
}
