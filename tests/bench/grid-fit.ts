/**
 * Fits the weights by which the grid decides on metre, phase and downbeat (workers/stages/grid/weights.ts):
 *     npx tsx tests/bench/grid-fit.ts [SONGS] > weights.json
 * A conditional logit (softmax over a song's hypotheses; McFadden 1974) with a ridge penalty, on generated songs
 * of songs.ts. The shipped weights were fitted so on 779 songs: seeds below 3000 of songs.ts and 330 patterns of
 * the demo. Five-fold, on songs left out: right beat, tempo and octave in 91 %, octave in 95 % (tempi from 63 to
 * 200 and hip-hop against half-time included); shares of 0.5..0.7 were right in about 0.6, 0.7..0.9 in 0.85,
 * 0.9..0.97 in 0.94, above in 0.97: that is why the share serves as the confidence.
 */
import { FrontEnd } from '../../workers/stages/grid/front-end.ts';
import { findGrid } from '../../workers/stages/grid/find.ts';
import { resolvePrior } from '../../workers/stages/grid/options.ts';
import { cuesOf } from '../../workers/stages/grid/cues.ts';
import { hypothesesOn } from '../../workers/stages/grid/hypotheses.ts';
import { meanAutocorrelation } from '../../workers/stages/grid/autocorrelation.ts';
import { steadyPulse } from '../../workers/stages/grid/pulse.ts';
import { Random } from '../grid/random.ts';
import { makeSong, STYLES, type Song, type Style } from '../grid/songs.ts';

const RIDGE = 0.005;
const ROUNDS = 400;
const RATE = 0.05;
/** A hypothesis this near to the true beat is right, s (the attack is found later). */
const NEAR_SECONDS = 0.05;
const RANGES: Record<Style, [number, number]> = {
  house: [63, 200],
  techno: [70, 185],
  breakbeat: [85, 200],
  'two-step': [90, 150],
  'half-time': [110, 185],
  'hip-hop': [68, 110],
  swing: [75, 180],
  'three-four': [75, 190],
  rock: [70, 190],
};

interface Row {
  right: boolean;
  values: number[];
}

const names: string[] = [];
const prior = resolvePrior();

function songOf(seed: number): Song {
  const r = new Random(seed * 103 + 9);
  const style = STYLES[seed % STYLES.length];
  const bpm = Math.round(r.range(...RANGES[style]) * 100) / 100;
  const noiseDb = r.chance(0.15) ? -12 : r.chance(0.3) ? -30 : undefined;
  return makeSong({ style, bpm, seconds: r.range(60, 120), seed, startOffset: r.range(0, 2), noiseDb });
}

function rowsOf(song: Song): Row[] {
  const frontEnd = new FrontEnd({ sampleRate: song.sampleRate, channels: 1 });
  frontEnd.push([song.samples]);
  const features = frontEnd.finish();
  const { evidence } = findGrid(features, prior);
  if (!evidence) return [];
  const { curves, steady } = evidence;
  const correlation = meanAutocorrelation(curves.combined);
  const lagScore = (s: number) => correlation[Math.round(s / curves.hop)] ?? 0;
  const pulse = steadyPulse(curves, steady.origin, steady.period);
  let bpm = song.bpm;
  while (bpm < prior.minBpm) bpm *= 2;
  while (bpm > prior.maxBpm) bpm /= 2;
  // Where the octave was folded the true bar lines say nothing, nor do bars of three in a bar of four.
  const anyBar = bpm !== song.bpm || song.beatsPerBar !== 4;
  return hypothesesOn(cuesOf(features, curves), pulse, 60 / steady.period, prior, lagScore).flatMap(
    ({ hypothesis, description }) => {
      const period = steady.period / hypothesis.ratio;
      const beats = (steady.origin + hypothesis.shift * period - song.beats[0]) / period;
      const beat = Math.round(beats);
      const right =
        Math.abs(hypothesis.bpm / bpm - 1) < 0.003 && Math.abs(beats - beat) * period < NEAR_SECONDS;
      return description.bars.map((bar, d) => {
        const all = [...description.beat, ...bar];
        if (!names.length) names.push(...all.map(([name]) => name));
        return { right: right && (anyBar || (beat + d) % 4 === 0), values: all.map(([, value]) => value) };
      });
    },
  );
}

function fit(songs: Row[][]): number[] {
  const rows = songs.flat();
  const size = names.length;
  const mean = names.map((_, i) => rows.reduce((sum, r) => sum + r.values[i], 0) / rows.length);
  const spread = names.map(
    (_, i) => Math.sqrt(rows.reduce((sum, r) => sum + (r.values[i] - mean[i]) ** 2, 0) / rows.length) + 1e-9,
  );
  for (const r of rows) r.values = r.values.map((v, i) => (v - mean[i]) / spread[i]);
  const weights = new Float64Array(size);
  const first = new Float64Array(size);
  const second = new Float64Array(size);
  for (let round = 1; round <= ROUNDS; round++) {
    const gradient = Float64Array.from(weights, (w) => RIDGE * w);
    for (const song of songs) {
      const scores = song.map((r) => r.values.reduce((sum, v, i) => sum + v * weights[i], 0));
      const top = Math.max(...scores);
      const shares = scores.map((s) => Math.exp(s - top));
      const all = shares.reduce((a, b) => a + b, 0);
      const right = song.reduce((sum, r, k) => sum + (r.right ? shares[k] : 0), 0) + 1e-300;
      song.forEach((r, k) => {
        const pull = (shares[k] / all - (r.right ? shares[k] / right : 0)) / songs.length;
        for (let i = 0; i < size; i++) gradient[i] += pull * r.values[i];
      });
    }
    // Adam (Kingma and Ba 2015).
    for (let i = 0; i < size; i++) {
      first[i] = 0.9 * first[i] + 0.1 * gradient[i];
      second[i] = 0.999 * second[i] + 0.001 * gradient[i] ** 2;
      weights[i] -=
        (RATE * (first[i] / (1 - 0.9 ** round))) / (Math.sqrt(second[i] / (1 - 0.999 ** round)) + 1e-8);
    }
  }
  return Array.from(weights, (w, i) => Number((w / spread[i]).toFixed(4)));
}

const count = Number(process.argv[2] ?? 360);
const songs: Row[][] = [];
for (let seed = 0; seed < count; seed++) {
  const rows = rowsOf(songOf(seed));
  if (rows.some((r) => r.right)) songs.push(rows);
}
console.error(`${songs.length} of ${count} songs have the right beat among their hypotheses`);
const weights = fit(songs);
console.log(JSON.stringify(Object.fromEntries(names.map((name, i) => [name, weights[i]])), null, 2));
