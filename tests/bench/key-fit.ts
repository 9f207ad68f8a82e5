/**
 * Fits how the key stage tells a key from its relative, and how sure it is of the pair (workers/stages/key):
 *     npx tsx tests/bench/key-fit.ts [PIECES]
 * Logistic regressions with a ridge penalty on generated pieces (tests/key/pieces.ts, seeds below 1000 and from
 * 20000). Tests and bench draw seeds between.
 */
import { keyEvidence, PAIR_FEATURES } from '../../workers/stages/key/estimate.ts';
import { NOTE_FEATURES, RELATIVE_FEATURES, RELATIVE_STEPS } from '../../workers/stages/key/relative.ts';
import { drawPiece, drawVariedPiece, gridOfPiece, harmonyOf, render } from '../key/pieces.ts';
import { fitLogistic, type Case } from './logistic.ts';

const RIDGE = 0.002;

const count = Number(process.argv[2] ?? 1500);
const pair: Case[] = [];
const withPhrases: Case[] = [];
const without: Case[] = [];
for (let i = 0; i < count; i++) {
  const seed = i < 1000 ? i : 19_000 + i;
  for (const piece of [drawVariedPiece(seed), drawPiece(seed)]) {
    const features = harmonyOf(render(piece));
    const evidence = keyEvidence(features, gridOfPiece(piece));
    if (!evidence) continue;
    const right =
      evidence.minorTonic === (piece.minor ? piece.tonic : (piece.tonic + 12 - RELATIVE_STEPS) % 12);
    pair.push({ values: evidence.pair, right });
    if (!right) continue;
    // The plain pieces are too short for phrases.
    if (piece.chordLevel !== undefined) withPhrases.push({ values: evidence.relative, right: piece.minor });
    without.push({ values: evidence.relative.slice(0, NOTE_FEATURES), right: piece.minor });
  }
}
const share = (cases: Case[]) => cases.filter((c) => c.right).length / cases.length;
const print = (names: readonly string[], weights: number[]) =>
  names.forEach((name, i) => console.log(`  ${name}: ${weights[i]}`));
console.log(`pair right in ${share(pair).toFixed(3)} of ${pair.length}:`);
print(PAIR_FEATURES, fitLogistic(pair, RIDGE));
for (const cases of [withPhrases, without]) {
  console.log(`minor in ${share(cases).toFixed(3)} of ${cases.length}:`);
  print(RELATIVE_FEATURES.slice(0, cases[0].values.length), fitLogistic(cases, RIDGE));
}
