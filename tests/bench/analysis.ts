/** The whole analysis against decoding alone, stage by stage, and its memory. */
import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { PIECE_FRAMES, analyseTrack } from '../../workers/analyse.ts';
import { fileSource } from '../../workers/decode/node-source.ts';
import { openTrack } from '../../workers/decode/open.ts';
import type { Block } from '../../workers/decode/types.ts';
import { hashingSource } from '../../workers/hashing-source.ts';
import { createKeepFinite } from '../../workers/stages/finite.ts';
import { STAGES, type StageName } from '../../workers/stages/index.ts';
import { estimateKey } from '../../workers/stages/key/index.ts';
import type { StreamInfo } from '../../workers/stages/stage.ts';
import { findSections } from '../../workers/stages/structure/index.ts';
import { type Bench, type Table, against, median, ratio, seconds } from './table.ts';
import { benchMp3 } from './track.ts';

const MINUTES = 5;
/** A long mix, to show that memory does not grow with the audio. */
const LONG_MINUTES = 30;
const RUNS = 3;
/** Targets of the project. */
const LARGEST_RATIO = 1.6;
const LATEST_EARLY = 0.25;
/** Own budget of grid, structure, key and loudness together. */
const LARGEST_MUSIC = 0.6;
/** Own budget of the band split, pyramid and levels. */
const LARGEST_PYRAMID = 0.25;

/** What a piece of work took. On a busy machine the processor time says more than the clock. */
interface Cost {
  /** ms by the clock */
  clock: number;
  /** ms of processor time of all threads of this process */
  processor: number;
}

interface Measured extends Cost {
  /** ms until the first early picture */
  early: number;
}

async function timed(work: () => unknown): Promise<Cost> {
  const began = performance.now();
  const before = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(before);
  return { clock: performance.now() - began, processor: (user + system) / 1000 };
}

function medianCost(costs: Cost[]): Cost {
  return {
    clock: median(costs.map((cost) => cost.clock)),
    processor: median(costs.map((cost) => cost.processor)),
  };
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
  const onEarly = () => (early = Math.min(early, performance.now() - began));
  const cost = await timed(() => analyseTrack(source, { onEarly }));
  await source.close();
  return { ...cost, early };
}

async function hashOnly(path: string): Promise<void> {
  const source = await fileSource(path);
  await (await hashingSource(source)).digest();
  await source.close();
}

/** Each stage alone over blocks that are decoded already. */
async function stageTimes(path: string): Promise<{ own: Record<string, Cost>; music: Cost }> {
  const blocks: Block[] = [];
  await decodeOnly(path, (block) => {
    for (let from = 0; from < block[0].length; from += PIECE_FRAMES)
      blocks.push(block.map((channel) => channel.subarray(from, from + PIECE_FRAMES)));
  });
  const info = { sampleRate: 44_100, channels: blocks[0].length };
  const names = Object.keys(STAGES) as StageName[];
  const times: Record<string, Cost[]> = Object.fromEntries(
    ['not-a-number check', ...names].map((name) => [name, []]),
  );
  for (let run = 0; run < RUNS; run++) {
    times['not-a-number check'].push(await timed(() => blocks.forEach(createKeepFinite())));
    for (const name of names) {
      times[name].push(
        await timed(() => {
          const stage = STAGES[name](info, {});
          for (const block of blocks) stage.push(block);
          stage.finish();
        }),
      );
    }
  }
  const own = Object.fromEntries(Object.entries(times).map(([name, values]) => [name, medianCost(values)]));
  return { own, music: medianCost(await musicTimes(info, blocks)) };
}

/** Grid, harmony and loudness with the key and the sections that are made of them; the pyramid is given. */
async function musicTimes(info: StreamInfo, blocks: Block[]): Promise<Cost[]> {
  const pyramid = STAGES.pyramid(info);
  for (const block of blocks) pyramid.push(block);
  const levels = pyramid.finish();
  const seconds = blocks.reduce((sum, block) => sum + block[0].length, 0) / info.sampleRate;
  const costs: Cost[] = [];
  for (let run = 0; run < RUNS; run++) {
    costs.push(
      await timed(() => {
        const grid = STAGES.grid(info, {});
        const harmony = STAGES.harmony(info);
        const loudness = STAGES.loudness(info);
        for (const block of blocks) for (const stage of [grid, harmony, loudness]) stage.push(block);
        loudness.finish();
        const beats = grid.finish();
        const notes = harmony.finish();
        estimateKey(notes, beats);
        findSections(notes, levels, beats, seconds);
      }),
    );
  }
  return costs;
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
  const runs: { decode: Cost; analysis: Measured }[] = [];
  for (let i = 0; i < RUNS; i++)
    runs.push({ decode: await timed(() => decodeOnly(path)), analysis: await analyse(path) });
  const decode = medianCost(runs.map((run) => run.decode));
  const total = medianCost(runs.map((run) => run.analysis));
  const early = median(runs.map((run) => run.analysis.early / run.analysis.clock));
  const { own, music } = await stageTimes(path);
  const hash = await timed(() => hashOnly(path));
  const row = (name: string, cost: Cost, limit?: number) => {
    const processor = cost.processor / decode.processor;
    const target = limit === undefined ? '' : against(processor, limit);
    return [name, seconds(cost.clock), ratio(cost.clock / decode.clock), ratio(processor), target];
  };
  return {
    title: `Analysis of a ${MINUTES}-minute 320 kb/s MP3`,
    note:
      `Medians of ${RUNS} runs, decoding and analysis in turn; stages alone on decoded blocks. Node ${process.version}.\n` +
      'Targets are held against processor time, which other work on the machine disturbs less.',
    head: ['what', 'time', '÷ decoding', 'processor ÷ decoding', 'target'],
    rows: [
      row('decoding alone', decode),
      row('whole analysis', total, LARGEST_RATIO),
      row('whole analysis, first run of the process', cold),
      ...Object.entries(own).map(([name, cost]) =>
        row(`  ${name}`, cost, name === 'pyramid' ? LARGEST_PYRAMID : undefined),
      ),
      row('  grid, structure, key and loudness together', music, LARGEST_MUSIC),
      row('  content hash', hash),
      ['first early picture ÷ whole analysis', '', ratio(early), '', against(early, LATEST_EARLY)],
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
  run: async () => [await speed(benchMp3(MINUTES))],
};

export const memoryBench: Bench = {
  name: 'memory',
  run: async () => [memory(benchMp3(MINUTES))],
};
