/** Our grid against two general-purpose tempo packages: the same files, the same run. */
import { createRequire } from 'node:module';
import { renderPattern } from '../../demo/pattern.ts';
import { renderTrack } from '../../demo/render.ts';
import { SCENARIO } from '../../demo/scenario.ts';
import { mainTempo } from '../../shared/grid/grid.ts';
import { beatTimes, gridOf } from '../grid/helpers.ts';
import { fMeasure, worstDeviation } from '../grid/metrics.ts';
import { loadSong, publishedSongs } from '../grid/song-package.ts';
import { drawRegionalSong, isRightIn } from '../grid/regional.ts';
import { CALIBRATION_HEAD, calibrationRows, type Said } from './logistic.ts';
import { pageDetector, type PageDetector } from './page-detector.ts';
import { median, type Bench, type Table } from './table.ts';

interface Material {
  name: string;
  channels: Float32Array[];
  sampleRate: number;
  beats: number[];
  bpm: number;
}

interface Answer {
  bpm: number;
  /** null where the package gives no beats */
  beats: number[] | null;
  /** What it took, where that is not this process's own time, s. */
  seconds?: number;
}

interface Tracker {
  name: string;
  track(material: Material): Promise<Answer>;
}

/** A tempo within this share of the truth has the right octave. */
const SAME_TEMPO = 0.02;

/** Songs of the calibration tables, and the first of their seeds. */
const CALIBRATION_SONGS = 80;
const CALIBRATION_SEED = 50_000;

const ours: Tracker = {
  name: 'ours',
  track: async ({ channels, sampleRate, beats }) => {
    const grid = gridOf(channels, sampleRate);
    return { bpm: mainTempo(grid) ?? 0, beats: beatTimes(grid, beats) };
  },
};

const musicTempo: Tracker = {
  name: 'music-tempo',
  track: async ({ channels, sampleRate, beats }) => {
    const MusicTempo = createRequire(import.meta.url)('music-tempo');
    // It assumes 44.1 kHz unless told its hop.
    const result = new MusicTempo(monoOf(channels), {
      hopSize: Math.round(sampleRate / 100),
      timeStep: Math.round(sampleRate / 100) / sampleRate,
    });
    const all: number[] = result.beats;
    return {
      bpm: Number(result.tempo),
      beats: all.filter((t) => t > beats[0] - 0.05 && t < beats[beats.length - 1] + 0.05),
    };
  },
};

function inPage(detector: PageDetector): Tracker {
  return {
    name: 'web-audio-beat-detector',
    track: async ({ channels, sampleRate, beats }) => {
      const { bpm, offset, seconds } = await detector.guess(monoOf(channels), sampleRate);
      const last = beats[beats.length - 1] + 0.05;
      const all = Array.from(
        { length: Math.ceil(((last - offset) * bpm) / 60) },
        (_, i) => offset + (i * 60) / bpm,
      );
      return { bpm, beats: all.filter((t) => t > beats[0] - 0.05 && t < last), seconds };
    },
  };
}

function monoOf(channels: Float32Array[]): Float32Array<ArrayBuffer> {
  const [left, right = left] = channels;
  return Float32Array.from(left, (x, i) => (x + right[i]) / 2);
}

async function* materials(): AsyncGenerator<Material> {
  for (const spec of SCENARIO.tracks) {
    const { left, right, sampleRate, truth } = renderTrack(spec);
    yield { name: spec.id, channels: [left, right], sampleRate, beats: truth.beats, bpm: truth.bpm };
  }
  for (const [style, bpm] of [
    ['house', 127.37],
    ['half-time', 140],
    ['breakbeat', 87],
  ] as const) {
    const { left, right, sampleRate, truth } = renderPattern({
      style,
      bpm,
      seconds: 120,
      seed: 77,
      noiseDb: -20,
    });
    yield { name: `${style} ${bpm}`, channels: [left, right], sampleRate, beats: truth.beats, bpm };
  }
  for (const published of publishedSongs() ?? [])
    yield { name: published.name, ...(await loadSong(published)) };
}

async function against(trackers: Tracker[]): Promise<Table> {
  const rows: (string | number)[][] = [];
  const totals = new Map(
    trackers.map(({ name }) => [name, { files: 0, right: 0, worst: [] as number[], spent: 0 }]),
  );
  for await (const material of materials()) {
    for (const tracker of trackers) {
      const began = process.cpuUsage();
      // The packages throw where they find nothing.
      const answer: Answer = await tracker.track(material).catch(() => ({ bpm: 0, beats: null }));
      const { user, system } = process.cpuUsage(began);
      const { bpm, beats, seconds = (user + system) / 1e6 } = answer;
      const right = Math.abs(bpm / material.bpm - 1) < SAME_TEMPO;
      const worst = beats?.length ? worstDeviation(material.beats, beats) * 1000 : Infinity;
      const total = totals.get(tracker.name)!;
      total.files++;
      total.right += Number(right);
      total.worst.push(worst);
      total.spent += seconds;
      rows.push([
        material.name,
        tracker.name,
        material.bpm.toFixed(2),
        bpm.toFixed(3),
        right ? 'yes' : 'no',
        beats ? fMeasure(material.beats, beats).toFixed(3) : '–',
        milliseconds(worst),
        seconds.toFixed(2),
      ]);
    }
  }
  for (const [name, { files, right, worst, spent }] of totals) {
    rows.push([
      'all',
      name,
      '',
      '',
      `${right} of ${files}`,
      '',
      `median ${milliseconds(median(worst))}`,
      spent.toFixed(2),
    ]);
  }
  return {
    title: 'Beat grid against general-purpose packages',
    note:
      'Worst deviation: largest distance from a true beat to the nearest found one. Seconds: processor time; of\n' +
      'web-audio-beat-detector, which works in a page with threads of its own, the time by the clock of the page.',
    head: ['track', 'by', 'true bpm', 'found', 'octave', 'F', 'worst ms', 's'],
    rows,
  };
}

const milliseconds = (ms: number) => (Number.isFinite(ms) ? ms.toFixed(1) : '–');

/** Whether confidences mean what they say, of whole grids and of their regions. */
function calibration(): Table[] {
  const wholes: Said[] = [];
  const regions: Said[] = [];
  for (let seed = CALIBRATION_SEED; seed < CALIBRATION_SEED + CALIBRATION_SONGS; seed++) {
    const song = drawRegionalSong(seed);
    const grid = gridOf([song.samples], song.sampleRate);
    const found = grid.regions.map(({ startTime, endTime, confidence }) => ({
      confidence,
      right: isRightIn(grid, song, startTime, endTime),
    }));
    regions.push(...found);
    // The whole is what is right anywhere: that is level and phase.
    if (grid.kind !== 'none') wholes.push({ confidence: grid.confidence, right: found.some((r) => r.right) });
  }
  const songs = `${CALIBRATION_SONGS} generated songs that no fit has seen, a quarter each steady, cut, of changing and of drifting tempo`;
  return [
    {
      title: 'Confidence of the grid',
      note: `${songs}. Right: somewhere.`,
      head: CALIBRATION_HEAD,
      rows: calibrationRows(wholes),
    },
    {
      title: 'Confidence of its regions',
      note: `${songs}. Right: nine of ten beats within 30 ms.`,
      head: CALIBRATION_HEAD,
      rows: calibrationRows(regions),
    },
  ];
}

export const gridBench: Bench = {
  name: 'grid',
  async run(): Promise<Table[]> {
    const detector = await pageDetector();
    if (!detector) console.log('skipped: web-audio-beat-detector needs a page, and there is no Chromium');
    try {
      const trackers = [ours, musicTempo, ...(detector ? [inPage(detector)] : [])];
      return [await against(trackers), ...calibration()];
    } finally {
      await detector?.close();
    }
  },
};
