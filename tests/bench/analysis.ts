/** The whole analysis against decoding alone, stage by stage, and its memory. */
import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { createSHA256 } from 'hash-wasm';
import { analyseTrack } from '../../workers/analyse.ts';
import { fileSource } from '../../workers/decode/node-source.ts';
import { openTrack } from '../../workers/decode/open.ts';
import type { Block } from '../../workers/decode/types.ts';
import { keepFinite } from '../../workers/stages/finite.ts';
import { STAGES, type StageName } from '../../workers/stages/index.ts';
import { type Bench, type Table, against, median, ratio, seconds } from './table.ts';
import { benchMp3 } from './track.ts';

const MINUTES = 5;
/** A long mix, to show that memory does not grow with the audio. */
const LONG_MINUTES = 30;
const RUNS = 5;
/** Targets of the project. */
const LARGEST_RATIO = 1.6;
const LATEST_EARLY = 0.25;
/** Own budget of the band split, pyramid and levels. */
const LARGEST_PYRAMID = 0.25;
const READ_BYTES = 1 << 20;

interface Measured {
  total: number;
  early: number;
}

async function timed(work: () => Promise<unknown>): Promise<number> {
  const began = performance.now();
  await work();
  return performance.now() - began;
}

async function decodeOnly(path: string, keep?: (block: Block) => void): Promise<void> {
  const source = await fileSource(path);
  const track = await openTrack(source);
  for await (const block of track.blocks()) keep?.(block);
  await source.close();
}

async function analyse(path: string): Promise<Measured> {
  const source = await fileSource(path);
  const began = performance.now();
  let early = Infinity;
  await analyseTrack(source, { onEarly: () => (early = Math.min(early, performance.now() - began)) });
  const total = performance.now() - began;
  await source.close();
  return { total, early };
}

async function hashOnly(path: string): Promise<void> {
  const source = await fileSource(path);
  const hasher = await createSHA256();
  for (let at = 0; at < source.size; at += READ_BYTES) hasher.update(await source.read(at, at + READ_BYTES));
  hasher.digest();
  await source.close();
}

/** Each stage alone over blocks that are decoded already. */
async function stageTimes(path: string): Promise<Record<string, number>> {
  const blocks: Block[] = [];
  await decodeOnly(path, (block) => void blocks.push(block));
  const info = { sampleRate: 44_100, channels: blocks[0].length };
  const names = Object.keys(STAGES) as StageName[];
  const times: Record<string, number[]> = Object.fromEntries(
    ['not-a-number check', ...names].map((name) => [name, []]),
  );
  for (let run = 0; run < RUNS; run++) {
    times['not-a-number check'].push(await timed(async () => blocks.forEach(keepFinite)));
    for (const name of names) {
      times[name].push(
        await timed(async () => {
          const stage = STAGES[name](info, {});
          for (const block of blocks) stage.push(block);
          stage.finish();
        }),
      );
    }
  }
  return Object.fromEntries(Object.entries(times).map(([name, values]) => [name, median(values)]));
}

/** Largest memory of a process of its own that does `what`, MB. */
function peakMegabytes(what: 'nothing' | 'decode' | 'analyse', path: string): number {
  const script = fileURLToPath(new URL('./memory-child.ts', import.meta.url));
  const output = execFileSync(process.execPath, ['--import', 'tsx', script, what, path], {
    encoding: 'utf8',
  });
  return Number(output.trim()) / 1024;
}

async function speed(path: string): Promise<Table> {
  const cold = await analyse(path);
  await decodeOnly(path);
  const runs: { decode: number; analysis: Measured }[] = [];
  for (let i = 0; i < RUNS; i++)
    runs.push({ decode: await timed(() => decodeOnly(path)), analysis: await analyse(path) });
  const decode = median(runs.map((run) => run.decode));
  const total = median(runs.map((run) => run.analysis.total));
  const whole = median(runs.map((run) => run.analysis.total / run.decode));
  const early = median(runs.map((run) => run.analysis.early / run.analysis.total));
  const own = await stageTimes(path);
  const hash = await timed(() => hashOnly(path));
  const share = (ms: number) => [seconds(ms), ratio(ms / decode)];
  return {
    title: `Analysis of a ${MINUTES}-minute 320 kb/s MP3`,
    note: `Medians of ${RUNS} runs, decoding and analysis in turn; stages alone on decoded blocks. Node ${process.version}.`,
    head: ['what', 'time', '÷ decoding', 'target'],
    rows: [
      ['decoding alone', ...share(decode), ''],
      ['whole analysis', seconds(total), ratio(whole), against(whole, LARGEST_RATIO)],
      ['whole analysis, first run of the process', ...share(cold.total), ''],
      ...Object.entries(own).map(([name, ms]) => [
        `  stage: ${name}`,
        ...share(ms),
        name === 'pyramid' ? against(ms / decode, LARGEST_PYRAMID) : '',
      ]),
      ['  content hash', ...share(hash), ''],
      ['first early picture ÷ whole analysis', '', ratio(early), against(early, LATEST_EARLY)],
    ],
  };
}

function memory(path: string): Table {
  const long = benchMp3(LONG_MINUTES);
  const base = peakMegabytes('nothing', path);
  const row = (name: string, file: string, what: 'decode' | 'analyse') => [
    name,
    (peakMegabytes(what, file) - base).toFixed(0),
  ];
  return {
    title: 'Peak memory (resident set of a process of its own, less that of one that only loads the code)',
    note: `The samples of ${LONG_MINUTES} minutes alone would be ${((LONG_MINUTES * 60 * 44_100 * 8) / 2 ** 20).toFixed(0)} MB.`,
    head: ['what', 'MB'],
    rows: [
      row(`decoding ${MINUTES} minutes`, path, 'decode'),
      row(`analysing ${MINUTES} minutes`, path, 'analyse'),
      row(`decoding ${LONG_MINUTES} minutes`, long, 'decode'),
      row(`analysing ${LONG_MINUTES} minutes`, long, 'analyse'),
    ],
  };
}

export const analysisBench: Bench = {
  name: 'analysis',
  async run() {
    const path = benchMp3(MINUTES);
    return [await speed(path), memory(path)];
  },
};
