/**
 * Fits the weights by which the grid decides on metre, phase and downbeat (workers/stages/grid/weights.ts):
 *     npx tsx tests/bench/grid-fit.ts [EVERY] > weights.json
 * A conditional logit over a song's hypotheses with a ridge penalty, and a logistic regression for bars of three.
 * Songs: grid-recipes.ts (songs.ts from seed 20000, the demo's loops), each also as if its file began somewhere within,
 * so that a file's beginning is no more than a hint. Tempi that are unusual for a rhythm count less. The ridge and these
 * shares were chosen on fits to one generator that were judged on another; the tracks of club/ are in no fit.
 * EVERY takes one song in so many, for a quick look: 5 or 7, as styles come round in sixes and nines.
 */
import { fittedRecipes } from './grid-recipes.ts';
import { fitConditionalLogit, type ChoiceSet } from './conditional-logit.ts';
import { describeSong, rowNames, type Described } from './grid-rows.ts';
import { cropped, featured } from './grid-songs.ts';
import { fitLogistic, type Case } from './logistic.ts';

const RIDGE = 0.05;
const THREE_RIDGE = 0.01;
/** What a song counts as if it began within. */
const CROPPED_WEIGHT = 0.5;
/** Seconds that are taken off are from 0.5 to this much more, spread evenly by the golden ratio. */
const MOST_CROPPED = 25;
const GOLDEN = 0.618_034;
/** Odds of a bar of three are e times lower in club music than among these songs (estimate, no source). */
const THREE_IS_RARE = -1;

/** A choice among a song's hypotheses, with what the calibration needs. */
interface SongChoice extends ChoiceSet {
  /** Of each alternative: which hypothesis it belongs to. */
  hypotheses: number[];
  /** Made by the demo's synthesiser, else by songs.ts. */
  loop: boolean;
  /** Of a tempo that the style is really played at: the confidence is for such songs. */
  usual: boolean;
}

const sets: SongChoice[] = [];
const metres: NonNullable<Described['metre']>[] = [];

const every = Number(process.argv[2] ?? 1);

fittedRecipes().forEach(({ recipe, weight }, n) => {
  if (n % every) return;
  const song = featured(recipe);
  const within = cropped(song, 0.5 + MOST_CROPPED * ((n * GOLDEN) % 1));
  for (const [heard, counts] of [
    [song, weight],
    [within, weight * CROPPED_WEIGHT],
  ] as const) {
    const { rows, metre } = describeSong(heard);
    sets.push({
      alternatives: rows,
      weight: counts,
      hypotheses: rows.map((row) => row.hypothesis),
      loop: recipe.name.startsWith('pattern'),
      usual: !recipe.name.endsWith('wide'),
    });
    if (metre) metres.push(metre);
  }
});
const found = sets.filter((set) => set.alternatives.some((a) => a.right)).length;
console.error(`${found} of ${sets.length} songs have the right beat among their hypotheses`);

const byName = (names: string[], weights: number[]) =>
  Object.fromEntries(names.map((name, i) => [name, weights[i]]));

const metreNames = metres[0].features.map(([name]) => name);
const cases: Case[] = metres.map(({ features, three }) => ({
  values: features.map(([, value]) => value),
  right: three,
}));
const three = fitLogistic(cases, THREE_RIDGE);
three[0] = Number((three[0] + THREE_IS_RARE).toFixed(4));

const ofThree = metres.filter((m) => m.three);
const placeNames = ofThree[0].places[0].features.map(([name]) => name);
const places: ChoiceSet[] = ofThree.map((m) => ({
  weight: 1,
  alternatives: m.places.map(({ right, features }) => ({
    right,
    values: features.map(([, value]) => value),
  })),
}));

/** The share of the likeliest hypothesis of each song, and whether it is right, by weights that were fitted elsewhere. */
function saidOf(songs: SongChoice[], weights: number[]): { share: number; right: boolean }[] {
  return songs
    .filter((song) => song.alternatives.length)
    .map(({ alternatives, hypotheses }) => {
      const scores = alternatives.map((a) => a.values.reduce((sum, v, i) => sum + v * weights[i], 0));
      const top = Math.max(...scores);
      const shares: number[] = [];
      const right: boolean[] = [];
      scores.forEach((score, k) => {
        const h = hypotheses[k];
        shares[h] = (shares[h] ?? 0) + Math.exp(score - top);
        right[h] ||= alternatives[k].right;
      });
      const total = shares.reduce((a, b) => a + b, 0);
      const best = shares.indexOf(Math.max(...shares));
      return { share: shares[best] / total, right: right[best] };
    });
}

/** Intercept and slope by which the log odds of a share become those of being right: each generator after the other. */
function calibration(): number[] {
  const said = [true, false].flatMap((loop) => {
    const weights = fitConditionalLogit(
      sets.filter((set) => set.loop !== loop),
      RIDGE,
    );
    return saidOf(
      sets.filter((set) => set.loop === loop && set.usual),
      weights,
    );
  });
  const odds = (share: number) => Math.log(share / Math.max(1e-4, 1 - share));
  return fitLogistic(
    said.map(({ share, right }) => ({ values: [1, odds(share)], right })),
    0,
  );
}

console.log(
  JSON.stringify(
    {
      BEAT_WEIGHTS: byName(rowNames, fitConditionalLogit(sets, RIDGE)),
      THREE_WEIGHTS: byName(metreNames, three),
      THREE_BAR_WEIGHTS: byName(placeNames, fitConditionalLogit(places, RIDGE)),
    },
    null,
    2,
  ),
);
console.error(`calibration of the share: ${calibration().join(', ')}`);
