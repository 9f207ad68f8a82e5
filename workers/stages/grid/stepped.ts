/**
 * One abrupt change of tempo: a steady pulse up to a moment and another one from there on. Each side is fitted over
 * all of its own length, so both come out as exact as a constant tempo, and the moment is where the two agree on
 * what beat it is.
 */
import type { GridSegment } from '../../../shared/grid/grid.ts';
import { alignWindows, type Alignment } from './align.ts';
import { attackOffset } from './attack.ts';
import { meanAutocorrelation } from './autocorrelation.ts';
import { tempoCandidates } from './candidates.ts';
import type { GridFeatures } from './features.ts';
import { LongSpectrum } from './long-spectrum.ts';
import type { OnsetCurves } from './onset-curve.ts';
import type { TempoPrior } from './options.ts';
import { foldPulse, steadyPulse, type Pulse } from './pulse.ts';
import { snapTempo } from './snap.ts';
import { parabolicPeak } from './statistics.ts';
import { fitSteady, judge, windowBeats, type SteadyFit } from './steady.ts';

/** Stretches (as shares of the track) that are taken to lie before and after the change: middle, early, late. */
const SPLITS = [
  [0.33, 0.67],
  [0.17, 0.4],
  [0.6, 0.83],
] as const;
/** Beats of the pulse over which a rhythm is laid over itself: a bar of four. */
const CYCLE = 4;
const BINS_PER_BEAT = 48;
const BINS = CYCLE * BINS_PER_BEAT;
/** The second tempo is looked for this far around the first one, as a share: less than a fourth, else it is a ratio. */
const REACH = 0.22;
/** Tempi nearer than this share are one. */
const SAME = 0.003;
/** Tempi that are tried before the change. */
const TRIED = 2;
const ROUNDS = 2;
/** Shortest stretch of one tempo, s. */
const SHORTEST_SECONDS = 8;
/** Beats around the change at which one line may pass into the other. */
const NEAR_BEATS = 4;

/** One side: beat n of the common count lies at origin + n × period. */
interface Side {
  /** s */
  origin: number;
  /** s per beat */
  period: number;
  periodError: number;
}

export interface SteppedFit {
  sides: [Side, Side];
  /** Time of the change, s. */
  change: number;
  pulse: Pulse;
  alignments: Alignment[];
  coverage: number;
  likeness: number;
  /** Mean s per beat of the pulse. */
  period: number;
}

/** @returns the best fit of two tempi, or null where there are no two */
export function fitStepped(curves: OnsetCurves, prior: TempoPrior): SteppedFit | null {
  let best: SteppedFit | null = null;
  for (const [before, after] of SPLITS) {
    const to = Math.round(before * curves.frames);
    const from = Math.round(after * curves.frames);
    if (Math.min(to, curves.frames - from) * curves.hop < SHORTEST_SECONDS) continue;
    const firsts = tempiIn(curves, 0, to, prior).slice(0, TRIED);
    const seconds = tempiIn(curves, from, curves.frames, prior);
    for (const first of firsts) {
      const second = seconds.find((period) => Math.abs(Math.log(period / first)) < Math.log(1 + REACH));
      if (!second) continue;
      const fit = settled(curves, fitSteady(curves, first, 0, to), fitSteady(curves, second, from), to, from);
      if (fit && (!best || fit.coverage * fit.likeness > best.coverage * best.likeness)) best = fit;
    }
  }
  return best;
}

/** Beat periods of a stretch, best first, s. */
function tempiIn(curves: OnsetCurves, from: number, to: number, prior: TempoPrior): number[] {
  const part = curves.combined.subarray(from, to);
  const spectrum = new LongSpectrum(part, curves.hop);
  return tempoCandidates(meanAutocorrelation(part), spectrum, curves.hop, prior).map((c) => c.period);
}

/** Finds the change between two fits, fits each side again up to it, and judges the whole. */
function settled(
  curves: OnsetCurves,
  first: SteadyFit,
  second: SteadyFit,
  to: number,
  from: number,
): SteppedFit | null {
  for (let round = 1; ; round++) {
    if (Math.abs(first.period / second.period - 1) < SAME) return null;
    const joined = join(curves, first, second, to, from);
    if (!joined) return null;
    if (round > ROUNDS) return judged(curves, joined);
    const frame = Math.round((joined.change - curves.offset) / curves.hop);
    const least = Math.round(SHORTEST_SECONDS / curves.hop);
    to = Math.max(least, frame - Math.round(joined.sides[0].period / curves.hop));
    from = Math.min(curves.frames - least, frame + 1);
    first = fitSteady(curves, first.period, 0, to);
    second = fitSteady(curves, second.period, from);
  }
}

type Joined = Pick<SteppedFit, 'sides' | 'change'>;

function join(
  curves: OnsetCurves,
  first: SteadyFit,
  second: SteadyFit,
  to: number,
  from: number,
): Joined | null {
  const pulses = [first, second].map((fit) => steadyPulse(curves, fit.origin, fit.period));
  const models = [modelOf(curves, pulses[0], 0, to), modelOf(curves, pulses[1], from, curves.frames)];
  const moment = likeliestMoment(curves, pulses, models);
  // The second pulse counts on from the first one: first to a phase of the bar, then to a whole beat at the change.
  const shift = shiftBetween(models[0], models[1]);
  const origin = second.origin + shift * second.period;
  const lead = (t: number) => (t - first.origin) / first.period - (t - origin) / second.period;
  const beats = Math.round(lead(moment));
  const change = moment + (beats - lead(moment)) / (1 / first.period - 1 / second.period);
  const last = curves.offset + curves.frames * curves.hop;
  if (change < SHORTEST_SECONDS || change > last - SHORTEST_SECONDS) return null;
  const { period, periodError } = second;
  return { sides: [first, { origin: origin - beats * period, period, periodError }], change };
}

function judged(curves: OnsetCurves, { sides, change }: Joined): SteppedFit {
  const [before, after] = sides.map(({ origin, period }) => steadyPulse(curves, origin, period));
  const frame = Math.max(0, Math.ceil((change - curves.offset) / curves.hop));
  before.set(after.subarray(frame), frame);
  const pulse = before;
  const period = ((curves.frames - 1) * curves.hop) / (pulse[pulse.length - 1] - pulse[0]);
  const alignments = alignWindows(curves, pulse, windowBeats(period));
  return { sides, change, pulse, alignments, period, ...judge(alignments, period) };
}

/** Onsets of a stretch laid over a bar, per band, each band centred and the whole of unit power. */
function modelOf(curves: OnsetCurves, pulse: Pulse, from: number, to: number): Float64Array[] {
  const bands = curves.bands.map((band) => band.subarray(from, to));
  const folded = foldPulse(bands, pulse.subarray(from, to), 1, CYCLE, BINS);
  let power = 0;
  for (const profile of folded) {
    const mean = profile.reduce((a, b) => a + b, 0) / BINS;
    for (let i = 0; i < BINS; i++) {
      profile[i] -= mean;
      power += profile[i] ** 2;
    }
  }
  const gain = power > 0 ? 1 / Math.sqrt(power) : 0;
  return folded.map((profile) => profile.map((x) => x * gain));
}

/** The moment up to which the first rhythm explains the onsets best and from which the second does, s. */
function likeliestMoment(curves: OnsetCurves, pulses: Pulse[], models: Float64Array[][]): number {
  let sum = 0;
  let best = -Infinity;
  let at = 0;
  for (let j = 0; j < curves.frames; j++) {
    const places = pulses.map((pulse) => {
      const place = Math.round((pulse[j] / CYCLE) * BINS) % BINS;
      return place < 0 ? place + BINS : place;
    });
    for (let b = 0; b < curves.bands.length; b++) {
      const onset = curves.bands[b][j];
      sum += onset * (models[0][b][places[0]] - models[1][b][places[1]]);
    }
    if (sum > best) {
      best = sum;
      at = j + 1;
    }
  }
  return curves.offset + at * curves.hop;
}

/** Beats by which the second rhythm's bar comes after the first one's. */
function shiftBetween(first: Float64Array[], second: Float64Array[]): number {
  const scores = Float64Array.from({ length: BINS }, (_, shift) => {
    let sum = 0;
    for (let b = 0; b < first.length; b++) {
      for (let i = 0; i < BINS; i++) sum += first[b][i] * second[b][(i + shift) % BINS];
    }
    return sum;
  });
  const at = scores.indexOf(Math.max(...scores));
  const around = (i: number) => scores[(i + BINS) % BINS];
  return (at + parabolicPeak(around(at - 1), around(at), around(at + 1))) / BINS_PER_BEAT;
}

/**
 * The two segments for a beat that is `ratio` beats per beat of the pulse, with a beat at `shift` of them.
 * @param soundStart first moment at which there may be a beat, s
 */
export function steppedSegments(
  features: GridFeatures,
  fit: SteppedFit,
  ratio: number,
  shift: number,
  soundStart: number,
): GridSegment[] {
  const [first, second] = fit.sides.map(({ origin, period, periodError }, side) => {
    const [from, to] = side === 0 ? [0, fit.change] : [fit.change, features.duration];
    const fitted = period / ratio;
    const bpm = snapTempo(60 / fitted, periodError, to - from);
    // Snapping turns the line about the middle of its stretch.
    const middle = Math.round(((from + to) / 2 - origin - shift * fitted) / fitted);
    const line = { bpm, origin: origin + (shift + middle) * fitted - (middle * 60) / bpm };
    const times: number[] = [];
    for (let n = Math.ceil((from - line.origin) / (60 / bpm)); ; n++) {
      const time = line.origin + (n * 60) / bpm;
      if (time > to) break;
      times.push(time);
    }
    line.origin += attackOffset(features, times).shift;
    return line;
  });
  const at = (line: { bpm: number; origin: number }, beat: number) => line.origin + (beat * 60) / line.bpm;
  const near = Math.round(((fit.change - first.origin) * first.bpm) / 60);
  let best = near;
  const gap = (beat: number) => Math.abs(at(first, beat) - at(second, beat));
  for (let beat = near - NEAR_BEATS; beat <= near + NEAR_BEATS; beat++)
    if (gap(beat) < gap(best)) best = beat;
  const start = Math.ceil(((soundStart - first.origin) * first.bpm) / 60);
  return [
    { startBeat: 0, startTime: at(first, start), bpm: first.bpm },
    { startBeat: best - start, startTime: at(second, best), bpm: second.bpm },
  ];
}
