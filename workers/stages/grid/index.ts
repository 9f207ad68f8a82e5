/**
 * The beat grid of a track. Samples go through a cheap filter bank (front-end.ts); everything else happens
 * once the track has ended, on its onset curves.
 */
import { noGrid, type BeatGrid } from '../../../shared/grid/grid.ts';
import type { Stage, StreamInfo } from '../stage.ts';
import { attackOffset } from './attack.ts';
import { meanAutocorrelation } from './autocorrelation.ts';
import { tempoCandidates } from './candidates.ts';
import type { GridFeatures } from './features.ts';
import { FrontEnd } from './front-end.ts';
import { LongSpectrum } from './long-spectrum.ts';
import { onsetCurves } from './onset-curve.ts';
import { logPrior, resolvePrior, type GridOptions } from './options.ts';
import { snapTempo } from './snap.ts';
import { fitSteady } from './steady.ts';

export type { GridOptions, TempoPrior } from './options.ts';

/**
 * A stage that finds tempo, beats, downbeats and phrases.
 * @returns a stage; `finish()` gives a grid of kind `none` for silence, speech and other music without a beat
 */
export function createGridStage(info: StreamInfo, options: GridOptions = {}): Stage<BeatGrid> {
  const frontEnd = new FrontEnd(info);
  return {
    push: (block) => frontEnd.push(block),
    finish: () => gridFromFeatures(frontEnd.finish(), options),
  };
}

/** The grid from collected features. */
export function gridFromFeatures(features: GridFeatures, options: GridOptions = {}): BeatGrid {
  const prior = resolvePrior(options);
  const curves = onsetCurves(features);
  const correlation = meanAutocorrelation(curves.combined);
  const spectrum = new LongSpectrum(curves.combined, curves.hop);
  const candidates = tempoCandidates(correlation, spectrum, curves.hop, prior);
  if (!candidates.length || candidates[0].comb < 0.05) return noGrid(features.duration);
  const score = (c: { comb: number; period: number }) => c.comb + 0.1 * logPrior(prior, 60 / c.period);
  candidates.sort((a, b) => score(b) - score(a));
  const fit = fitSteady(curves, candidates[0].period);
  const bpm = snapTempo(60 / fit.period, fit.periodError, features.duration);
  const period = 60 / bpm;
  const middle = features.duration / 2;
  // Snapping turns the grid about the middle of the track.
  const anchor = fit.origin + Math.round((middle - fit.origin) / fit.period) * fit.period;
  let first = anchor - Math.floor(anchor / period) * period;
  const times = Array.from(
    { length: Math.floor((features.duration - first) / period) },
    (_, i) => first + i * period,
  );
  first += attackOffset(features, times).shift;
  return {
    ...noGrid(features.duration),
    kind: 'constant',
    segments: [{ startBeat: 0, startTime: first, bpm }],
    confidence: Math.max(0, Math.min(1, fit.agreement * 2 * candidates[0].comb)),
  };
}
