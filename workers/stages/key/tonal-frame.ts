/**
 * Notes in one spectrum: peaks that stand out of their surroundings, as sustained tones do and drums do not.
 */
import FFT from 'fft.js';
import { BASS_MIDDLE_HZ } from '../../../shared/bands.ts';

/** Samples of one frame. */
export const FRAME = 2048;
/** Chroma bins per octave: three per semitone, so that a mistuned track can be folded afterwards. */
export const CHROMA_BINS = 36;
/** Hz of C4 in equal temperament at A4 = 440 Hz. */
const MIDDLE_C_HZ = 261.6255653;
/**
 * Lowest note that is looked for, Hz: a little below the lowest of a bass (E1). The tails of kick drums lie there too,
 * which costs less than a bass line whose low notes are missed while its high ones count.
 */
const LOWEST_HZ = 40;
/** Highest note, Hz; also the pass band that the decimation must leave clean. */
export const HIGHEST_HZ = 1150;
/** A peak must exceed the mean magnitude around it by this factor; hiss does so once in 10 000 bins. */
const PROMINENCE = 3.5;
/** Bins to each side that count as its surroundings. */
const SURROUNDINGS = 20;
/**
 * A peak is taken for the n-th partial of a lower note when it is no louder than 1/n of what is found there (the
 * law of a saw wave), with this much allowance. Louder ones are notes of a chord above a bass.
 */
const OVERTONE_ALLOWANCE = 1.4;
const OVERTONE_WEIGHT = 0.25;
/** Fractions that are looked at. The octaves (2, 4) fall on the same pitch class and do no harm. */
const OVERTONES = [3, 5, 6, 7];
/** Magnitude (linear amplitude) below which there is nothing to hear. */
const SILENT = 1e-5;

export interface TonalFrame {
  /** CHROMA_BINS weights of notes in the bass; bin 0 is C. */
  bass: Float32Array;
  /** The same for notes above the bass. */
  upper: Float32Array;
  /** 0..1: share of the energy between LOWEST_HZ and HIGHEST_HZ that lies in the peaks. */
  tonal: number;
}

export class TonalAnalyser {
  /** Sum of the notes' deviations from equal temperament as unit vectors times weight (real, imaginary). */
  readonly tuning = { re: 0, im: 0 };
  private readonly fft = new FFT(FRAME);
  private readonly spectrum = new Float64Array(2 * FRAME);
  private readonly windowed = new Float64Array(FRAME);
  private readonly window = new Float64Array(FRAME);
  private readonly magnitude: Float64Array;
  private readonly sums: Float64Array;
  private readonly firstBin: number;
  private readonly lastBin: number;

  /** @param rate Hz of the frames */
  constructor(private readonly rate: number) {
    const binHz = rate / FRAME;
    this.firstBin = Math.ceil(LOWEST_HZ / binHz);
    this.lastBin = Math.floor(Math.min(HIGHEST_HZ, rate * 0.45) / binHz);
    this.magnitude = new Float64Array(this.lastBin + SURROUNDINGS + 2);
    this.sums = new Float64Array(this.magnitude.length + 1);
    for (let i = 0; i < FRAME; i++) {
      // Hann, scaled so that a sine of amplitude 1 gives a magnitude of 1 at its bin.
      this.window[i] = ((1 - Math.cos((2 * Math.PI * i) / FRAME)) * 2) / FRAME;
    }
  }

  /** @param samples FRAME samples */
  analyse(samples: Float32Array): TonalFrame {
    const frame = { bass: new Float32Array(CHROMA_BINS), upper: new Float32Array(CHROMA_BINS), tonal: 0 };
    const { window, windowed, magnitude, sums, spectrum } = this;
    for (let i = 0; i < FRAME; i++) windowed[i] = window[i] * samples[i];
    this.fft.realTransform(spectrum, windowed);
    let energy = 0;
    for (let k = 0; k < magnitude.length; k++) {
      const power = spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2;
      magnitude[k] = Math.sqrt(power);
      sums[k + 1] = sums[k] + magnitude[k];
      if (k >= this.firstBin && k <= this.lastBin) energy += power;
    }
    let inPeaks = 0;
    for (let k = this.firstBin; k <= this.lastBin; k++) {
      const m = magnitude[k];
      if (m <= SILENT || m <= magnitude[k - 1] || m < magnitude[k + 1]) continue;
      const from = Math.max(0, k - SURROUNDINGS);
      const to = Math.min(magnitude.length, k + SURROUNDINGS + 1);
      if (m * (to - from) < PROMINENCE * (sums[to] - sums[from])) continue;
      inPeaks += magnitude[k - 1] ** 2 + m * m + magnitude[k + 1] ** 2;
      this.addNote(frame, k);
    }
    frame.tonal = energy > 0 ? Math.min(1, inPeaks / energy) : 0;
    return frame;
  }

  private addNote(frame: TonalFrame, k: number): void {
    const { magnitude } = this;
    // Parabola through the logarithms of three bins: exact enough for a Hann-windowed sine (to 0.02 bins).
    const a = Math.log(magnitude[k - 1] + 1e-12);
    const b = Math.log(magnitude[k] + 1e-12);
    const c = Math.log(magnitude[k + 1] + 1e-12);
    const bin = k + (a - c) / (2 * (a - 2 * b + c));
    const hz = (bin * this.rate) / FRAME;
    const semitones = 12 * Math.log2(hz / MIDDLE_C_HZ);
    // The square root keeps one loud note from speaking for all.
    let weight = Math.sqrt(magnitude[k]);
    if (this.isOvertone(bin, magnitude[k])) weight *= OVERTONE_WEIGHT;
    const angle = 2 * Math.PI * (semitones - Math.round(semitones));
    this.tuning.re += weight * Math.cos(angle);
    this.tuning.im += weight * Math.sin(angle);
    const chroma = hz < BASS_MIDDLE_HZ ? frame.bass : frame.upper;
    const place = (semitones * CHROMA_BINS) / 12;
    const low = Math.floor(place);
    const share = place - low;
    chroma[modulo(low, CHROMA_BINS)] += weight * (1 - share);
    chroma[modulo(low + 1, CHROMA_BINS)] += weight * share;
  }

  private isOvertone(bin: number, m: number): boolean {
    const { magnitude } = this;
    return OVERTONES.some((n) => {
      const k = Math.round(bin / n);
      return (
        k >= 2 && Math.max(magnitude[k - 1], magnitude[k], magnitude[k + 1]) * OVERTONE_ALLOWANCE > n * m
      );
    });
  }
}

function modulo(a: number, n: number): number {
  return ((a % n) + n) % n;
}
