/** Voices that play several notes at once: pads, strings, stabs, keys. */
import { StateVariableFilter } from './filter.ts';
import { hzOf, Oscillator } from './oscillator.ts';
import { between, type Random } from './prng.ts';
import { bed, fadeTail, normalise, sides, type Voice } from './voice.ts';

export interface ChordShape {
  /** `saw`: a swarm of detuned saws; `pulse`: hollow; `organ`: drawn harmonics; `keys`: struck tines */
  kind: 'saw' | 'pulse' | 'organ' | 'keys';
  /** s */
  attack: number;
  release: number;
  /** Time constant of the level after the attack, s; Infinity holds */
  decay: number;
  /** Hz of the filter at rest, how far the attack opens it and how fast that falls, s */
  cutoffHz: number;
  openHz: number;
  openDecay: number;
  /** Width of the swarm, cents */
  cents: number;
}

const ORGAN_HARMONICS = [1, 2, 3, 4, 6];
const ORGAN_LEVELS = [1, 0.7, 0.35, 0.3, 0.12];
const TINE_RATIO = 14;

/** Notes `notes` (MIDI numbers) sounding for `seconds` and then released; stereo, peak 1. */
export function chord(
  rate: number,
  shape: ChordShape,
  notes: readonly number[],
  seconds: number,
  random: Random,
): Voice {
  const voice = bed(Math.round(rate * (seconds + shape.release)));
  for (const side of sides(voice)) {
    for (const note of notes) addNote(side, rate, shape, note, random);
    const filter = new StateVariableFilter(rate, shape.cutoffHz, 0.8);
    for (let i = 0; i < side.length; i++) {
      const t = i / rate;
      if (i % 16 === 0) filter.set(shape.cutoffHz + shape.openHz * Math.exp(-t / shape.openDecay), 0.8);
      filter.push(side[i]);
      side[i] = filter.low * levelAt(t, seconds, shape);
    }
    fadeTail(side, rate);
  }
  return normalise(voice);
}

function levelAt(t: number, seconds: number, shape: ChordShape): number {
  const rise = Math.min(1, t / Math.max(shape.attack, 0.001));
  const fall = shape.decay === Infinity ? 1 : Math.exp(-Math.max(0, t - shape.attack) / shape.decay);
  const end = t <= seconds ? 1 : Math.max(0, 1 - (t - seconds) / shape.release);
  return rise * fall * end * end;
}

function addNote(side: Float32Array, rate: number, shape: ChordShape, note: number, random: Random): void {
  const hz = hzOf(note + between(random, -shape.cents, shape.cents) / 100);
  if (shape.kind === 'saw' || shape.kind === 'pulse') {
    const wide = hzOf(note + shape.cents / 100);
    const a = new Oscillator(rate, random());
    const b = new Oscillator(rate, random());
    if (shape.kind === 'saw') {
      for (let i = 0; i < side.length; i++) side[i] += a.saw(hz) + 0.8 * b.saw(wide);
    } else {
      for (let i = 0; i < side.length; i++) side[i] += a.pulse(hz, 0.35) + 0.6 * b.pulse(wide, 0.5);
    }
    return;
  }
  const start = random();
  for (let i = 0; i < side.length; i++) {
    const angle = 2 * Math.PI * ((hz * i) / rate + start);
    if (shape.kind === 'organ') {
      for (let h = 0; h < ORGAN_HARMONICS.length; h++)
        side[i] += ORGAN_LEVELS[h] * Math.sin(ORGAN_HARMONICS[h] * angle);
    } else {
      const t = i / rate;
      const bite = 0.35 * Math.exp(-t / 0.05) * Math.sin(TINE_RATIO * angle);
      side[i] += Math.sin(angle + 0.9 * Math.exp(-t / 0.6) * Math.sin(angle) + bite);
    }
  }
}
