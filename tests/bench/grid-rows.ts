/** What the grid measures of every hypothesis on a song, with the one that is true marked: the rows that fits work on. */
import { meanAutocorrelation } from '../../workers/stages/grid/autocorrelation.ts';
import { metreFeatures, threeBarFeatures } from '../../workers/stages/grid/bar.ts';
import { cuesOf } from '../../workers/stages/grid/cues.ts';
import { findGrid } from '../../workers/stages/grid/find.ts';
import { hypothesesOn } from '../../workers/stages/grid/hypotheses.ts';
import { foldCues } from '../../workers/stages/grid/metre.ts';
import { resolvePrior } from '../../workers/stages/grid/options.ts';
import { steadyPulse } from '../../workers/stages/grid/pulse.ts';
import type { FeaturedSong } from './grid-songs.ts';

/** A hypothesis this near to the true beat is right, s (the attack is found later). */
const NEAR_SECONDS = 0.05;
const SAME_TEMPO = 0.003;

/** A hypothesis with one place of the bar's start. */
export interface Row {
  right: boolean;
  /** Hypotheses of one number differ only in the bar's start. */
  hypothesis: number;
  values: number[];
}

/** Features by name. */
type Named = [string, number][];

export interface Choice {
  right: boolean;
  features: Named;
}

export interface Described {
  rows: Row[];
  /** Of the true beat, where it is among the hypotheses: what tells bars of three, and each start of a bar of three. */
  metre: { features: Named; three: boolean; places: Choice[] } | null;
}

/** Names of the rows' values, known once a song has been described. */
export const rowNames: string[] = [];

const prior = resolvePrior();

/** What is measured on a song; no rows where no tempo is found at all. */
export function describeSong(song: FeaturedSong): Described {
  const { evidence } = findGrid(song.features, prior);
  if (!evidence) return { rows: [], metre: null };
  const { curves, steady } = evidence;
  const correlation = meanAutocorrelation(curves.combined);
  const lagScore = (s: number) => correlation[Math.round(s / curves.hop)] ?? 0;
  const pulse = steadyPulse(curves, steady.origin, steady.period);
  let { bpm } = song;
  while (bpm < prior.minBpm) bpm *= 2;
  while (bpm > prior.maxBpm) bpm /= 2;
  // Where the octave was folded the true bar lines say nothing, nor do bars of three in a bar of four.
  const anyBar = bpm !== song.bpm || song.beatsPerBar !== 4;
  const cues = cuesOf(song.features, curves);
  const rows: Row[] = [];
  let metre: Described['metre'] = null;
  hypothesesOn(cues, pulse, 60 / steady.period, prior, lagScore).forEach(
    ({ hypothesis, description }, number) => {
      const { ratio, shift } = hypothesis;
      const period = steady.period / ratio;
      const beats = (steady.origin + shift * period - song.beats[0]) / period;
      const beat = Math.round(beats);
      const right =
        Math.abs(hypothesis.bpm / bpm - 1) < SAME_TEMPO &&
        Math.abs(beats - beat) * period < Math.min(NEAR_SECONDS, period / 5);
      const begins = (d: number) => (song.firstBeatInBar + beat + d) % song.beatsPerBar === 0;
      description.bars.forEach((bar, d) => {
        const all = [...description.beat, ...bar];
        if (!rowNames.length) rowNames.push(...all.map(([name]) => name));
        rows.push({
          right: right && (anyBar || begins(d)),
          hypothesis: number,
          values: all.map(([, value]) => value),
        });
      });
      if (!right || bpm !== song.bpm) return;
      const folded = foldCues(cues, pulse, ratio);
      const three = song.beatsPerBar === 3;
      metre = {
        features: metreFeatures(folded, shift, (n) => lagScore(n * period)),
        three,
        places: three
          ? [0, 1, 2].map((d) => ({ right: begins(d), features: threeBarFeatures(folded, shift, d) }))
          : [],
      };
    },
  );
  return { rows, metre };
}
