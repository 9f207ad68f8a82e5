/** What a style of track is made of: instruments, and for each part what it plays in a bar. */
import type { SectionLabel } from '../../shared/analysis.ts';
import type { Random } from '../synth/prng.ts';
import type { Voice } from '../synth/voice.ts';
import type { Key } from './harmony.ts';

export const PARTS = [
  'kick',
  'snare',
  'hat',
  'open',
  'ride',
  'perc',
  'bass',
  'pad',
  'stab',
  'lead',
  'roll',
  'riser',
  'crash',
] as const;
export type Part = (typeof PARTS)[number];

export const BUSES = ['drums', 'bass', 'music', 'effects'] as const;
export type Bus = (typeof BUSES)[number];

/** One hit of an instrument, `beat` counted from the start of its bar. */
export interface Hit {
  instrument: string;
  beat: number;
  gain: number;
  /** −1 left .. 1 right */
  pan?: number;
  /** Beats, for instruments that hold */
  length?: number;
  /** MIDI numbers, for pitched instruments */
  notes?: number[];
}

/** Where a bar stands. */
export interface BarContext {
  /** Number of the bar from the first phrase on, and its place in the 8-bar phrase */
  bar: number;
  phraseBar: number;
  barInSection: number;
  barsInSection: number;
  label: SectionLabel;
  key: Key;
  /** Scale step of the chord */
  step: number;
  random: Random;
}

/** Makes the one-shot for a hit; `seconds` is its length in time. */
export type Instrument = (hit: Hit, seconds: number) => Voice;

export interface Style {
  /** Level and bus of every instrument. */
  desk: Record<string, { bus: Bus; gain: number }>;
  /** The instruments by name, made for one rate and random stream. */
  instruments(rate: number, random: Random): Record<string, Instrument>;
  /** What each part plays in one bar. `roll`, `riser` and `crash` are common to all styles. */
  bars: Partial<Record<Part, (context: BarContext) => Hit[]>>;
  /** Depth 0..1 of the ducking of each bus, and its release in beats. */
  duck: { depth: Partial<Record<Bus, number>>; release: number };
  /** Largest push or drag of hits other than kick and snare, s. */
  looseness: number;
}

const LEVELS: Record<string, number> = { X: 1, x: 0.72, o: 0.45 };

/**
 * Reads a bar of sixteenths: `X` loud, `x` middling, `o` soft, `.` nothing; spaces are for the eye.
 * @example steps('kick', 'X... X... X... X...')
 */
export function steps(instrument: string, pattern: string, more: Partial<Hit> = {}): Hit[] {
  return [...pattern.replaceAll(' ', '')].flatMap((mark, i) =>
    mark in LEVELS ? [{ instrument, beat: i / 4, gain: LEVELS[mark], ...more }] : [],
  );
}

/** The hits, and each again `times` times, `delay` beats later and softer by `feedback`. */
export function echo(hits: Hit[], delay: number, feedback: number, times: number): Hit[] {
  return Array.from({ length: times + 1 }, (_, n) =>
    hits.map((hit) => ({
      ...hit,
      beat: hit.beat + n * delay,
      gain: hit.gain * feedback ** n,
      pan: n === 0 ? hit.pan : n % 2 ? 0.5 : -0.5,
    })),
  ).flat();
}

/** An instrument with one sound, or several that take turns. */
export function drum(...voices: Voice[]): Instrument {
  let turn = 0;
  return () => voices[turn++ % voices.length];
}

/** Lengths are rounded up to this, so that a drifting tempo does not need a new sound for every note. */
const LENGTH_STEP = 0.02;

/** An instrument that makes each pair of notes and length once. */
export function pitched(make: (notes: number[], seconds: number) => Voice): Instrument {
  const made = new Map<string, Voice>();
  return (hit, seconds) => {
    const notes = hit.notes ?? [];
    const count = Math.max(1, Math.ceil(seconds / LENGTH_STEP - 1e-6));
    const name = `${notes.join(' ')}|${count}`;
    let voice = made.get(name);
    if (!voice) made.set(name, (voice = make(notes, count * LENGTH_STEP)));
    return voice;
  };
}
