/**
 * Which of the possible beats is the beat: every hypothesis (a ratio to the pulse and a phase) is described by
 * how the cues fall on it, and a linear score with a softmax over all hypotheses tells how likely each is.
 */
import { CUE_NAMES, type Cues } from './cues.ts';
import { logUsual } from './options.ts';
import { foldPulse, type Pulse } from './pulse.ts';

/** Phases per beat in the folded cues. */
export const BEAT_BINS = 48;
/** Beats in the folded cycle: whole bars of three and of four. */
export const CYCLE_BEATS = 12;
/** Tempo at which the two halves of the usual range meet, beats per minute (√(70 × 216) would be its like). */
const MIDDLE_BPM = 123;

/** Stretches of a beat (as shares) in which a hit counts as on the beat, half, or quarter; swing is late. */
export const ON = [-0.045, 0.045] as const;
const HALF = [0.46, 0.67] as const;
const QUARTERS = [
  [0.2, 0.36],
  [0.7, 0.86],
] as const;

export interface Hypothesis {
  /** Beats per beat of the pulse. */
  ratio: number;
  /** Position (in these beats) of a beat: 0..1. */
  shift: number;
  bpm: number;
}

/** Folded cues of one hypothesis's tempo; shifts are read from them. */
export type FoldedCues = Record<keyof Cues, Float64Array>;

export function foldCues(cues: Cues, pulse: Pulse, ratio: number): FoldedCues {
  const list = CUE_NAMES.map((name) => cues[name]);
  const folded = foldPulse(list, pulse, ratio, CYCLE_BEATS, CYCLE_BEATS * BEAT_BINS);
  return Object.fromEntries(CUE_NAMES.map((name, i) => [name, folded[i]])) as FoldedCues;
}

/** Strongest value of a cue in a stretch of each beat of the cycle. */
export function hitsAt(
  profile: Float64Array,
  shift: number,
  [from, to]: readonly [number, number],
): number[] {
  const n = profile.length;
  const out = new Array<number>(CYCLE_BEATS);
  for (let beat = 0; beat < CYCLE_BEATS; beat++) {
    const first = Math.round((beat + shift + from) * BEAT_BINS);
    const count = Math.round((beat + shift + to) * BEAT_BINS) - first;
    let top = 0;
    for (let k = 0, i = ((first % n) + n) % n; k <= count; k++) {
      if (profile[i] > top) top = profile[i];
      if (++i === n) i = 0;
    }
    out[beat] = top;
  }
  return out;
}

const mean = (list: number[]) => list.reduce((a, b) => a + b, 0) / list.length;

/** Cues whose place in the bar is described hit by hit. */
const BAR_CUES = [
  'kick',
  'snare',
  'bass',
  'presence',
  'chord',
  'entry',
  'freshLow',
  'freshHigh',
  'harmony',
  'bassNote',
] as const satisfies (keyof Cues)[];
/** Beats of the bar that the hit-by-hit description assumes. */
export const BAR_BEATS = 4;

/** Named values; the names are the keys of the fitted weights. */
export type Features = [name: string, value: number][];

export interface Description {
  /** What does not depend on where the bar begins. */
  beat: Features;
  /** bars[d]: what follows when beat d (of the cycle) begins a bar of four. */
  bars: Features[];
}

/**
 * The features of one hypothesis; every hit is relative to the mean over the whole cycle, so that level,
 * sound and length of the track drop out.
 * @param lagScore autocorrelation at a number of beats
 */
export function describe(
  h: Hypothesis,
  folded: FoldedCues,
  lagScore: (beats: number) => number,
): Description {
  const beat: Features = [];
  const octave = Math.log2(h.bpm / MIDDLE_BPM);
  const bars: Features[] = Array.from({ length: BAR_BEATS }, () => []);
  const onOf: Partial<Record<keyof Cues, number[]>> = {};
  for (const name of CUE_NAMES) {
    const on = hitsAt(folded[name], h.shift, ON);
    const half = hitsAt(folded[name], h.shift, HALF);
    const quarter = QUARTERS.map((q) => mean(hitsAt(folded[name], h.shift, q)));
    const all = (mean(on) + mean(half) + quarter[0] + quarter[1]) / 4 + 1e-9;
    onOf[name] = on.map((x) => x / all);
    beat.push(
      [`on ${name}`, mean(on) / all],
      [`half ${name}`, mean(half) / all],
      [`lean ${name}`, (quarter[0] - quarter[1]) / all],
    );
    if (name === 'air' || name === 'presence' || name === 'kick') {
      beat.push([`on ${name} × octave`, (mean(on) / all) * octave]);
    }
    if (!(BAR_CUES as readonly string[]).includes(name)) continue;
    const onBar = barOf(on, all);
    const halfBar = barOf(half, all);
    for (let d = 0; d < BAR_BEATS; d++) {
      for (let i = 0; i < BAR_BEATS; i++) {
        bars[d].push(
          [`${name} ${i + 1}`, onBar[(d + i) % BAR_BEATS]],
          [`${name} ${i + 1}½`, halfBar[(d + i) % BAR_BEATS]],
        );
      }
    }
  }
  const kick = onOf.kick!;
  const snare = onOf.snare!;
  const kickTwo = alternation(kick);
  const snareTwo = alternation(snare);
  beat.push(
    ['kick alternates', Math.abs(kickTwo)],
    ['snare alternates', Math.abs(snareTwo)],
    ['kick against snare', -kickTwo * snareTwo],
    ['kick of four', fourContrast(kick)],
    ['snare of four', fourContrast(snare)],
    ['snare alternates × octave', Math.abs(snareTwo) * octave],
    ['snare of four × octave', fourContrast(snare) * octave],
    ['kick on all', evenness(kick, 1)],
    ['kick on every second', evenness(kick, 2)],
    ['kick on all × octave', evenness(kick, 1) * octave],
    ['kick on every second × octave', evenness(kick, 2) * octave],
    ['snare on every second', evenness(snare, 2)],
    ['repeats ½', lagScore(0.5)],
    ['repeats 1', lagScore(1)],
    ['repeats 2', lagScore(2)],
    ['repeats 3', lagScore(3)],
    ['repeats 4', lagScore(4)],
    ['repeats ⅓', lagScore(1 / 3)],
    ['octave', octave],
    ['usual tempo', logUsual(h.bpm)],
  );
  return { beat, bars };
}

/** Mean of the cycle's hits at each beat of a bar of four, less their mean, against `all`. */
function barOf(hits: number[], all: number): number[] {
  const bar = Array.from({ length: BAR_BEATS }, (_, i) => mean(hits.filter((_x, k) => k % BAR_BEATS === i)));
  const middle = mean(bar);
  return bar.map((x) => (x - middle) / all);
}

/** Mean of the even beats less mean of the odd ones, halved. */
function alternation(hits: number[]): number {
  let sum = 0;
  hits.forEach((x, i) => (sum += i % 2 ? -x : x));
  return sum / hits.length;
}

/** Larger difference between beats two apart in a bar of four. */
function fourContrast(hits: number[]): number {
  const at = (phase: number) => mean(hits.filter((_, i) => i % 4 === phase));
  return Math.max(Math.abs(at(0) - at(2)), Math.abs(at(1) - at(3)));
}

/** Weakest of the beats of a bar (or of its stronger every second ones) against the strongest: 0..1. */
function evenness(hits: number[], step: 1 | 2): number {
  const bar = Array.from({ length: BAR_BEATS }, (_, i) => mean(hits.filter((_x, k) => k % BAR_BEATS === i)));
  const top = Math.max(...bar) + 1e-9;
  if (step === 1) return Math.min(...bar) / top;
  const even = Math.min(bar[0], bar[2]) - Math.max(bar[1], bar[3]);
  const odd = Math.min(bar[1], bar[3]) - Math.max(bar[0], bar[2]);
  return Math.max(0, even, odd) / top;
}
