/** Our grid against two general-purpose tempo packages: the same files, the same run. */
import { createRequire } from 'node:module';
import { renderPattern } from '../../demo/pattern.ts';
import { renderTrack } from '../../demo/render.ts';
import { SCENARIO } from '../../demo/scenario.ts';
import { mainTempo } from '../../shared/grid/grid.ts';
import { beatTimes, gridOf } from '../grid/helpers.ts';
import { fMeasure, worstDeviation } from '../grid/metrics.ts';
import { loadSong, publishedSongs } from '../grid/song-package.ts';
import type { Bench, Table } from './table.ts';

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
}

interface Tracker {
  name: string;
  track(material: Material): Promise<Answer>;
}

/** A tempo within this share of the truth has the right octave. */
const SAME_TEMPO = 0.02;

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

async function beatDetector(): Promise<Tracker | null> {
  try {
    const audio = await import('node-web-audio-api');
    Object.assign(globalThis, {
      OfflineAudioContext: audio.OfflineAudioContext,
      AudioBuffer: audio.AudioBuffer,
    });
    // A page has workers from blobs; Node has not: the package then cannot be run.
    if (typeof Worker === 'undefined') return null;
    const { guess } = await import('web-audio-beat-detector');
    return {
      name: 'web-audio-beat-detector',
      track: async ({ channels, sampleRate, beats }) => {
        const buffer = new audio.AudioBuffer({ length: channels[0].length, sampleRate, numberOfChannels: 1 });
        buffer.copyToChannel(monoOf(channels), 0);
        const { bpm, offset } = await guess(buffer as unknown as AudioBuffer);
        const out: number[] = [];
        for (let t = offset; t < beats[beats.length - 1] + 0.05; t += 60 / bpm)
          if (t > beats[0] - 0.05) out.push(t);
        return { bpm, beats: out };
      },
    };
  } catch {
    return null;
  }
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

export const gridBench: Bench = {
  name: 'grid',
  async run(): Promise<Table[]> {
    const detector = await beatDetector();
    if (!detector) console.log("skipped: web-audio-beat-detector needs a page's workers; Node has none");
    const trackers = [ours, musicTempo, ...(detector ? [detector] : [])];
    const rows: (string | number)[][] = [];
    const spent = new Map<string, number>();
    for await (const material of materials()) {
      for (const tracker of trackers) {
        const began = process.cpuUsage();
        // The packages throw where they find nothing.
        const { bpm, beats } = await tracker.track(material).catch(() => ({ bpm: 0, beats: null }));
        const { user, system } = process.cpuUsage(began);
        const seconds = (user + system) / 1e6;
        spent.set(tracker.name, (spent.get(tracker.name) ?? 0) + seconds);
        rows.push([
          material.name,
          tracker.name,
          material.bpm.toFixed(2),
          bpm.toFixed(3),
          Math.abs(bpm / material.bpm - 1) < SAME_TEMPO ? 'yes' : 'no',
          beats ? fMeasure(material.beats, beats).toFixed(3) : '–',
          beats?.length ? (worstDeviation(material.beats, beats) * 1000).toFixed(1) : '–',
          seconds.toFixed(2),
        ]);
      }
    }
    for (const tracker of trackers) {
      rows.push(['all', tracker.name, '', '', '', '', '', spent.get(tracker.name)!.toFixed(2)]);
    }
    return [
      {
        title: 'Beat grid against general-purpose packages',
        note: 'Worst deviation: largest distance from a true beat to the nearest found one. Seconds: processor time.',
        head: ['track', 'by', 'true bpm', 'found', 'octave', 'F', 'worst ms', 's'],
        rows,
      },
    ];
  },
};
