import { filterInPlace } from './filter.ts';
import type { Random } from './prng.ts';
import { softClip } from './shape.ts';
import { fadeTail, mono, normalise, type Voice } from './voice.ts';

/** A drum skin: a sine that falls in pitch, under a click. Also tom and conga at other pitches. */
export interface KickShape {
  /** Hz at the attack and after the fall */
  startHz: number;
  endHz: number;
  /** Time constants of the fall in pitch and of the level, s */
  pitchDecay: number;
  decay: number;
  /** 0..1: level of the beater's click */
  click: number;
  /** 1 = clean */
  drive: number;
}

const CLICK_DECAY = 0.0025;
const DECAYS_HEARD = 5;

/** A kick drum whose attack is its first sample; mono, peak 1. */
export function kick(rate: number, shape: KickShape, random: Random): Voice {
  const samples = new Float32Array(Math.round(rate * shape.decay * DECAYS_HEARD));
  const clicks = new Float32Array(Math.min(samples.length, Math.round(rate * CLICK_DECAY * 8)));
  for (let i = 0; i < clicks.length; i++) clicks[i] = (random() * 2 - 1) * Math.exp(-i / rate / CLICK_DECAY);
  filterInPlace(clicks, rate, 'high', 1200);
  let turn = 0.04;
  for (let i = 0; i < samples.length; i++) {
    const t = i / rate;
    turn += (shape.endHz + (shape.startHz - shape.endHz) * Math.exp(-t / shape.pitchDecay)) / rate;
    const body = Math.sin(2 * Math.PI * turn) * Math.exp(-((t / shape.decay) ** 1.3));
    samples[i] = softClip(shape.drive * body) + shape.click * (clicks[i] ?? 0);
  }
  return normalise(mono(fadeTail(samples, rate)));
}
