/**
 * Fits the confidence of regions (workers/stages/grid/confidence.ts):
 *     npx tsx tests/bench/region-fit.ts [SONGS]
 * Logistic regression on the stretches of generated songs (tests/grid/regional.ts, seeds from 40000) whose grid is right
 * somewhere: whether it is right at all is the confidence of the whole. The bench draws other seeds.
 */
import { REGION_FEATURES } from '../../workers/stages/grid/confidence.ts';
import { findGrid } from '../../workers/stages/grid/find.ts';
import { FrontEnd } from '../../workers/stages/grid/front-end.ts';
import { resolvePrior } from '../../workers/stages/grid/options.ts';
import { drawRegionalSong, isRightIn } from '../grid/regional.ts';
import { fitLogistic, type Case } from './logistic.ts';

const FIRST_SEED = 40_000;
const RIDGE = 0.002;

const count = Number(process.argv[2] ?? 240);
const cases: Case[] = [];
for (let seed = FIRST_SEED; seed < FIRST_SEED + count; seed++) {
  const song = drawRegionalSong(seed);
  const frontEnd = new FrontEnd({ sampleRate: song.sampleRate, channels: 1 });
  frontEnd.push([song.samples]);
  const { grid, evidence } = findGrid(frontEnd.finish(), resolvePrior());
  if (!evidence) continue;
  const found = evidence.stretches.map(({ startTime, endTime, values }) => ({
    values,
    right: isRightIn(grid, song, startTime, endTime),
  }));
  if (found.some((c) => c.right)) cases.push(...found);
}
const weights = fitLogistic(cases, RIDGE);
console.log(`right in ${cases.filter((c) => c.right).length} of ${cases.length} stretches:`);
REGION_FEATURES.forEach((name, i) => console.log(`  ${name}: ${weights[i]}`));
