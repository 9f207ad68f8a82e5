/** What the grid measures of every hypothesis on a song, with the one that is true marked: the rows that fits work on. */
import { meanAutocorrelation } from '../../workers/stages/grid/autocorrelation.ts';
import { cuesOf } from '../../workers/stages/grid/cues.ts';
import { findGrid } from '../../workers/stages/grid/find.ts';
import { hypothesesOn } from '../../workers/stages/grid/hypotheses.ts';
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

/** Names of the values, known once a song has been described. */
export const rowNames: string[] = [];

const prior = resolvePrior();

/** The rows of a song; none where no tempo is found at all. */
export function rowsOf(song: FeaturedSong): Row[] {
  const { evidence } = findGrid(song.features, prior);
  if (!evidence) return [];
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
  return hypothesesOn(cues, pulse, 60 / steady.period, prior, lagScore).flatMap(
    ({ hypothesis, description }, number) => {
      const period = steady.period / hypothesis.ratio;
      const beats = (steady.origin + hypothesis.shift * period - song.beats[0]) / period;
      const beat = Math.round(beats);
      const right =
        Math.abs(hypothesis.bpm / bpm - 1) < SAME_TEMPO &&
        Math.abs(beats - beat) * period < Math.min(NEAR_SECONDS, period / 5);
      return description.bars.map((bar, d) => {
        const all = [...description.beat, ...bar];
        if (!rowNames.length) rowNames.push(...all.map(([name]) => name));
        return {
          right: right && (anyBar || (song.firstBeatInBar + beat + d + 4000) % 4 === 0),
          hypothesis: number,
          values: all.map(([, value]) => value),
        };
      });
    },
  );
}
