/** From onset curves to a grid: tempo, then metre and phase, then bars and phrases, then how sure all that is. */
import { noGrid, timeOfBeat, type BeatGrid, type GridSegment } from '../../../shared/grid/grid.ts';
import type { Alignment } from './align.ts';
import { attackOffset } from './attack.ts';
import { meanAutocorrelation } from './autocorrelation.ts';
import { chanceOfThree, metreFeatures, threeBars } from './bar.ts';
import { tempoCandidates } from './candidates.ts';
import {
  chanceOfRight,
  LEAST_STEADINESS,
  regionsOf,
  steadiness,
  stretchesOf,
  type Stretch,
} from './confidence.ts';
import { cuesOf } from './cues.ts';
import { decide, type Decision } from './decide.ts';
import { fitDrifting, type DriftingFit } from './drifting.ts';
import type { GridFeatures } from './features.ts';
import { hypothesesOn } from './hypotheses.ts';
import { LongSpectrum } from './long-spectrum.ts';
import { onsetCurves, type OnsetCurves } from './onset-curve.ts';
import type { TempoPrior } from './options.ts';
import { barChangeScores, phraseOffset } from './phrase.ts';
import { steadyPulse, type Pulse } from './pulse.ts';
import { segmentsThrough } from './segments.ts';
import { snapTempo } from './snap.ts';
import { fitSteady, type SteadyFit } from './steady.ts';
import { fitStepped, steppedSegments } from './stepped.ts';

/** Constant tempi that are tried. */
const TRIED_TEMPI = 3;
/** Coverage at which a constant tempo is taken without looking further. */
const CONSTANT_COVERAGE = 0.93;
/** How much better a drifting pulse must agree to be preferred. */
const DRIFT_MARGIN = 0.15;
/** One change of tempo is a simpler story than a drift: it is preferred from this share of the drift's worth. */
const STEP_SHARE = 0.95;
/** Shortest audio that can hold a beat, s. */
const SHORTEST_SECONDS = 3;
/** A beat this far before the first sound still belongs to it, s. */
const BEFORE_SOUND_SECONDS = 0.04;

/** A first beat this little before the file's first sample is on it (the measurement's own error), s. */
const CUT_SECONDS = 0.008;
/** More of a track does not make the choice of the beat surer, s. */
const MOST_HEARD_SECONDS = 1800;

/** What the finding went by; the fitting of weights and confidence reads it too. */
export interface Evidence {
  curves: OnsetCurves;
  steady: SteadyFit;
  comb: number;
  decision: Decision;
  stretches: Stretch[];
}

/** What is asked of a fit of any kind. */
interface Fitted {
  pulse: Pulse;
  /** Mean s per beat of the pulse. */
  period: number;
  alignments: Alignment[];
  coverage: number;
  likeness: number;
}

export function findGrid(
  features: GridFeatures,
  prior: TempoPrior,
): { grid: BeatGrid; evidence: Evidence | null } {
  const none = { grid: noGrid(features.duration), evidence: null };
  if (features.duration < SHORTEST_SECONDS) return none;
  const curves = onsetCurves(features);
  const correlation = meanAutocorrelation(curves.combined);
  const spectrum = new LongSpectrum(curves.combined, curves.hop);
  const candidates = tempoCandidates(correlation, spectrum, curves.hop, prior);
  if (!candidates.length || steadiness(candidates[0].comb) < LEAST_STEADINESS) return none;

  let steady: SteadyFit | null = null;
  for (const candidate of candidates.slice(0, TRIED_TEMPI)) {
    const fit = fitSteady(curves, candidate.period);
    if (!steady || fit.coverage * fit.likeness > steady.coverage * steady.likeness) steady = fit;
    if (fit.coverage > CONSTANT_COVERAGE) break;
  }
  if (!steady) return none;
  const holds = steady.coverage >= CONSTANT_COVERAGE;
  const drifting = holds ? null : fitDrifting(curves, candidates[0].period);
  const stepped = holds ? null : fitStepped(curves, prior);
  const worth = (fit: Pick<Fitted, 'coverage' | 'likeness'> | null) =>
    fit ? fit.coverage * fit.likeness : 0;
  const steps =
    worth(stepped) > worth(steady) * (1 + DRIFT_MARGIN) && worth(stepped) > worth(drifting) * STEP_SHARE;
  const drifts = !steps && worth(drifting) > worth(steady) * (1 + DRIFT_MARGIN);

  const fit: Fitted = steps
    ? stepped!
    : drifts
      ? { ...drifting!, period: meanInterval(drifting!.beats) }
      : { ...steady, pulse: steadyPulse(curves, steady.origin, steady.period) };
  const { pulse, period } = fit;
  const lagScore = (seconds: number) => {
    const x = seconds / curves.hop;
    const i = Math.floor(x);
    return i + 1 < correlation.length ? correlation[i] + (x - i) * (correlation[i + 1] - correlation[i]) : 0;
  };
  const heard = middleOf(features, curves, pulse);
  const cues = cuesOf(heard.features, heard.curves);
  const decision = decide(hypothesesOn(cues, heard.pulse, 60 / period, prior, lagScore));
  if (!decision) return none;
  const { folded } = decision;
  const { ratio, shift } = decision.hypothesis;

  const segments = steps
    ? steppedSegments(features, stepped!, ratio, shift, soundStart(features) - BEFORE_SOUND_SECONDS)
    : drifts
      ? driftingSegments(features, curves, drifting!, ratio, shift)
      : constantSegments(features, steady, ratio, shift);
  const beatSeconds = period / ratio;
  const three = chanceOfThree(metreFeatures(folded, shift, (beats) => lagScore(beats * beatSeconds)));
  const beatsPerBar = three > 0.5 ? 3 : 4;
  // Beat number 0 of the segments is beat `cycleBeat` of the pulse.
  const cycleBeat = numberOfFirst(segments, curves, pulse, ratio, shift);
  const places =
    beatsPerBar === 3
      ? threeBars(folded, shift)
      : withChanges(
          decision.bars,
          barChangeScores(features, beatTimesOf(segments, features.duration)),
          cycleBeat,
        );
  const barPlace = places.indexOf(Math.max(...places));
  const firstBeatInBar = (((cycleBeat - barPlace) % beatsPerBar) + beatsPerBar) % beatsPerBar;

  const confidence = chanceOfRight(decision.probability) * steadiness(candidates[0].comb);
  const grid: BeatGrid = {
    kind: segments.length > 1 ? 'variable' : 'constant',
    segments,
    beatsPerBar,
    firstBeatInBar,
    phraseOffsetBars: null,
    endTime: features.duration,
    confidence: steps || drifts ? confidence * fit.coverage : confidence,
    downbeatConfidence: places[barPlace],
    regions: [],
  };
  grid.phraseOffsetBars = phraseOffset(features, barTimes(grid));
  const stretches = stretchesOf(grid.kind, grid.endTime, fit.alignments, period);
  grid.regions = regionsOf(stretches, confidence);
  return { grid, evidence: { curves, steady, comb: candidates[0].comb, decision, stretches } };
}

/** The middle of a long track, as far as it takes to tell which of the possible beats is the beat: views, not copies. */
function middleOf(features: GridFeatures, curves: OnsetCurves, pulse: Pulse) {
  const frames = Math.min(curves.frames, Math.round(MOST_HEARD_SECONDS / curves.hop));
  if (frames === curves.frames) return { features, curves, pulse };
  const from = (curves.frames - frames) >> 1;
  const part = <A extends Float32Array | Float64Array>(list: A) => list.subarray(from, from + frames) as A;
  const fine = Math.round(curves.hop / features.hop);
  return {
    features: {
      ...features,
      frames: frames * fine,
      energy: features.energy.map((band) => band.subarray(from * fine, (from + frames) * fine)),
    },
    curves: {
      ...curves,
      offset: curves.offset + from * curves.hop,
      frames,
      bands: curves.bands.map(part),
      combined: part(curves.combined),
    },
    pulse: part(pulse),
  };
}

function meanInterval(beats: Float64Array): number {
  return (beats[beats.length - 1] - beats[0]) / (beats.length - 1);
}

function constantSegments(
  features: GridFeatures,
  fit: SteadyFit,
  ratio: number,
  shift: number,
): GridSegment[] {
  const fitted = fit.period / ratio;
  const bpm = snapTempo(60 / fitted, fit.periodError, features.duration);
  const period = 60 / bpm;
  const origin = fit.origin + shift * fitted;
  // Snapping turns the grid about the middle of the track.
  const anchor = origin + Math.round((features.duration / 2 - origin) / fitted) * fitted;
  let first = anchor - Math.floor(anchor / period) * period;
  const count = Math.floor((features.duration - first) / period) + 1;
  first += attackOffset(
    features,
    Array.from({ length: count }, (_, i) => first + i * period),
  ).shift;
  const start = soundStart(features);
  // A file cut on a beat begins there: a measured time just before the file is that beat.
  const early = ((-first % period) + period) % period;
  if (early < CUT_SECONDS) first += early;
  first += Math.ceil((start - BEFORE_SOUND_SECONDS - first) / period - 1e-9) * period;
  return [{ startBeat: 0, startTime: first, bpm }];
}

function driftingSegments(
  features: GridFeatures,
  curves: OnsetCurves,
  fit: DriftingFit,
  ratio: number,
  shift: number,
): GridSegment[] {
  const { pulse } = fit;
  const last = pulse[pulse.length - 1] * ratio;
  const times: number[] = [];
  let j = 0;
  for (let beat = Math.ceil(pulse[0] * ratio - shift); beat + shift <= last; beat++) {
    while (j + 2 < pulse.length && pulse[j + 1] * ratio < beat + shift) j++;
    const part = (beat + shift - pulse[j] * ratio) / ((pulse[j + 1] - pulse[j]) * ratio);
    times.push(curves.offset + (j + part) * curves.hop);
  }
  const { shift: attack } = attackOffset(features, times);
  const start = soundStart(features) - BEFORE_SOUND_SECONDS;
  return segmentsThrough(
    times.map((t) => t + attack).filter((t) => t >= start),
    curves,
  );
}

/** Shares of the bar's places with the log odds of section changes; beat 0 of `odds` is beat `first` there. */
function withChanges(shares: number[], odds: number[], first: number): number[] {
  const n = shares.length;
  const out = shares.map((share, d) => share * Math.exp(odds[(((d - first) % n) + n) % n]));
  const total = out.reduce((a, b) => a + b, 0);
  return out.map((x) => x / total);
}

function beatTimesOf(segments: GridSegment[], endTime: number): number[] {
  const grid = { ...noGrid(endTime), segments };
  const out: number[] = [];
  for (let beat = 0; ; beat++) {
    const t = timeOfBeat(grid, beat);
    if (t >= endTime) return out;
    out.push(t);
  }
}

/** Number (in the hypothesis's beats) of the grid's beat 0 on the pulse. */
function numberOfFirst(
  segments: GridSegment[],
  curves: OnsetCurves,
  pulse: Pulse,
  ratio: number,
  shift: number,
): number {
  const x = (segments[0].startTime - curves.offset) / curves.hop;
  const j = Math.max(0, Math.min(pulse.length - 2, Math.floor(x)));
  return Math.round((pulse[j] + (x - j) * (pulse[j + 1] - pulse[j])) * ratio - shift);
}

/** First moment that is not silence, s. */
function soundStart(features: GridFeatures): number {
  let top = 0;
  const total = (j: number) => features.energy.reduce((sum, band) => sum + band[j], 0);
  for (let j = 0; j < features.frames; j += 5) top = Math.max(top, total(j));
  const threshold = Math.max(1e-9, top * 1e-5);
  for (let j = 0; j < features.frames; j++) if (total(j) > threshold) return j * features.hop;
  return 0;
}

/** Time of each bar line from beat 0's bar on. */
function barTimes(grid: BeatGrid): number[] {
  const out: number[] = [];
  for (let bar = 0; ; bar++) {
    const t = timeOfBeat(grid, bar * grid.beatsPerBar - grid.firstBeatInBar);
    if (t >= grid.endTime) return out;
    out.push(t);
  }
}
