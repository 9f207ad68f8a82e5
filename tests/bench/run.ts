/**
 * `npm run bench [-- NAME...]`: measures on this machine and prints tables of ratios from one run.
 * A new bench is a file of its own that exports a `Bench`, and a line in BENCHES.
 */
import { analysisBench, memoryBench } from './analysis.ts';
import { browserBench } from './browser.ts';
import { folderBench } from './folder.ts';
import { gridBench } from './grid.ts';
import { heldOutBench } from './grid-held-out.ts';
import { keyBench } from './key.ts';
import { readinessBench } from './readiness.ts';
import { longBench } from './long.ts';
import { soundBench } from './sound.ts';
import { type Bench, tableText } from './table.ts';
import { verdictsBench } from './verdicts.ts';

const BENCHES: Bench[] = [
  analysisBench,
  memoryBench,
  gridBench,
  heldOutBench,
  keyBench,
  verdictsBench,
  readinessBench,
  soundBench,
  browserBench,
  longBench,
  folderBench,
];

const chosen = process.argv.slice(2);
const unknown = chosen.filter((name) => !BENCHES.some((bench) => bench.name === name));
if (unknown.length) {
  console.error(
    `There is no bench ${unknown[0]}; there are: ${BENCHES.map((bench) => bench.name).join(', ')}.`,
  );
  process.exitCode = 2;
} else {
  for (const bench of BENCHES) {
    if (chosen.length && !chosen.includes(bench.name)) continue;
    for (const table of await bench.run()) console.log(`${tableText(table)}\n`);
  }
}
