/** Verdicts for a whole library: a thousand markers over a hundred tracks, on the four shipped decks. */
import type { Section } from '../../shared/analysis.ts';
import { timeOfBeat } from '../../shared/grid/grid.ts';
import type { Importance, Marker } from '../../shared/markers/marker.ts';
import type { Pyramid } from '../../shared/pyramid.ts';
import type { JudgedTrack } from '../../shared/survival/context.ts';
import { verdictTable } from '../../shared/survival/verdicts.ts';
import { constantGrid, pyramidOf, sequence } from '../display/tracks.ts';
import { shippedDeck } from '../profiles/files.ts';
import { against, type Bench, median, type Table } from './table.ts';

const TRACKS = 100;
/** Tracks whose sound differs; the others have a pyramid of their own with the same levels, to save memory. */
const SOUNDS = 5;
const MARKERS_PER_TRACK = 10;
const DURATION = 360;
const TARGET_MS = 50;
/** Runs until the engine has compiled what it compiles and its memory has grown; the first is told apart. */
const FIRST_RUNS = 8;
const COLD_RUNS = 21;
const WARM_RUNS = 21;
const PHRASE_BEATS = 32;

const deckIds = ['wide-touch', 'small-touch', 'touch-strip', 'overview-only'];

/** Levels of a track in parts of eight bars, each with its own loudness per band, on a beat that decays. */
function sound(seed: number, bpm: number) {
  const next = sequence(seed);
  const parts = Array.from({ length: 64 }, () => [next(), next(), next()]);
  return pyramidOf(DURATION, (layer, i) => {
    const beat = ((i * 0.005 - 0.1) * bpm) / 60;
    const part = parts[Math.max(0, Math.floor(beat / PHRASE_BEATS)) % parts.length];
    const level = layer < 3 ? part[layer] : Math.max(...part);
    const peak = level * (0.3 + 0.7 * Math.exp(-5 * (beat - Math.floor(beat))));
    return { peak, rms: peak * 0.6 };
  });
}

type Library = { analysis: JudgedTrack; markers: Marker[] }[];

let sounds: Pyramid[] | null = null;

/** Tracks of which nothing is known yet. */
export function library(count = TRACKS): Library {
  const made = (sounds ??= Array.from({ length: SOUNDS }, (_, i) => sound(i + 1, 120 + i * 3)));
  return Array.from({ length: count }, (_, i) => {
    const grid = constantGrid(120 + (i % SOUNDS) * 3, DURATION);
    const phrase = (n: number) => timeOfBeat(grid, n * PHRASE_BEATS);
    const sections = Array.from({ length: 8 }, (_, n) => ({
      startTime: phrase(n * 2),
      endTime: phrase(n * 2 + 2),
    }));
    const analysis: JudgedTrack = {
      pyramid: { ...made[i % SOUNDS] },
      grid,
      duration: DURATION,
      source: {
        container: 'wav',
        codec: 'pcm',
        lossless: true,
        sampleRate: 44100,
        channels: 2,
        bitDepth: 16,
        bitrate: null,
      },
      sections: sections.map((s, n): Section => ({ ...s, label: `${n}`, strength: 1, why: '', energy: 1 })),
    };
    const next = sequence(i + 99);
    const markers = Array.from({ length: MARKERS_PER_TRACK }, (_, n): Marker => {
      const common = {
        id: `m${n}`,
        time: phrase(1 + n) + (n % 3 ? 0 : 0.06),
        name: '',
        importance: (1 + Math.floor(next() * 3)) as Importance,
      };
      if (n < 5) return { kind: 'cue', ...common, slot: n + 1, colour: n % 2 ? '#c05a2b' : '#2b8ac0' };
      if (n < 8) return { kind: 'mark', ...common };
      return { kind: 'loop', ...common, endTime: common.time + 2, beats: n === 8 ? 4 : 6 };
    });
    return { analysis, markers };
  });
}

export const verdictsBench: Bench = {
  name: 'verdicts',
  async run(): Promise<Table[]> {
    const decks = deckIds.map(shippedDeck);
    const judge = (tracks: Library) => {
      let reasons = 0;
      for (const { analysis, markers } of tracks) {
        for (const { verdicts } of verdictTable(markers, analysis, decks)) {
          for (const verdict of verdicts) reasons += verdict.reasons.length;
        }
      }
      return reasons;
    };
    /** The same markers half a second on: other places in pictures that are there. */
    const elsewhere = (tracks: Library): Library =>
      tracks.map(({ analysis, markers }) => ({
        analysis: {
          ...analysis,
          sections: analysis.sections.map((s) => ({ ...s, startTime: s.startTime + 0.5 })),
        },
        markers: markers.map((m) => ({
          ...m,
          time: m.time + 0.5,
          ...('endTime' in m ? { endTime: m.endTime + 0.5 } : {}),
        })),
      }));
    let reasons = 0;
    const first: Timed[] = [];
    for (let i = 0; i < FIRST_RUNS; i++) {
      const tracks = library();
      first.push(timed(() => void (reasons = judge(tracks))));
      judge(elsewhere(tracks));
    }
    const cold: Timed[] = [];
    const moved: Timed[] = [];
    let tracks: Library = [];
    for (let i = 0; i < COLD_RUNS; i++) {
      tracks = library();
      cold.push(timed(() => void (reasons = judge(tracks))));
      const others = elsewhere(tracks);
      moved.push(timed(() => void judge(others)));
    }
    const warm = Array.from({ length: WARM_RUNS }, () => timed(() => void judge(tracks)));
    const verdicts = TRACKS * MARKERS_PER_TRACK * decks.length;
    const row = (name: string, runs: Timed[], target: boolean) => {
      const cpu = median(runs.map((run) => run.cpu));
      return [
        name,
        cpu.toFixed(1),
        Math.min(...runs.map((run) => run.cpu)).toFixed(1),
        median(runs.map((run) => run.wall)).toFixed(1),
        ((cpu * 1000) / verdicts).toFixed(2),
        target ? against(Math.round(cpu * 10) / 10, TARGET_MS) : '',
      ];
    };
    return [
      {
        title: 'Verdicts of a library',
        note:
          `${TRACKS * MARKERS_PER_TRACK} markers over ${TRACKS} tracks of ${DURATION / 60} minutes on ${decks.length} decks: ` +
          `${reasons} reasons. Medians of ${COLD_RUNS} cold and ${WARM_RUNS} warm runs, after ${FIRST_RUNS} that get the code compiled. ` +
          'Cold: nothing is known of the tracks, each deck’s picture is made where it is judged. Pictures and contrasts are kept with track and deck.',
        head: ['what', 'processor ms', 'least', 'wall ms', 'µs per verdict', 'target, processor ms'],
        rows: [
          row('cold', cold, true),
          row('cold, the first time in this process', first.slice(0, 1), false),
          row('markers moved: pictures known, contrasts not', moved, false),
          row('warm: pictures and contrasts known', warm, true),
        ],
      },
    ];
  },
};

interface Timed {
  cpu: number;
  wall: number;
}

/** Processor time and wall clock of `work`, ms. */
function timed(work: () => void): Timed {
  const cpu = process.cpuUsage();
  const began = performance.now();
  work();
  const wall = performance.now() - began;
  const { user, system } = process.cpuUsage(cpu);
  return { cpu: (user + system) / 1000, wall };
}
