/** Verdicts for a whole library: a thousand markers over a hundred tracks, on the four shipped decks. */
import type { Section } from '../../shared/analysis.ts';
import { timeOfBeat } from '../../shared/grid/grid.ts';
import type { Importance, Marker } from '../../shared/markers/marker.ts';
import { contrastAt } from '../../shared/survival/contrast.ts';
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

export function library(count = TRACKS): { analysis: JudgedTrack; markers: Marker[] }[] {
  const sounds = Array.from({ length: SOUNDS }, (_, i) => sound(i + 1, 120 + i * 3));
  return Array.from({ length: count }, (_, i) => {
    const grid = constantGrid(120 + (i % SOUNDS) * 3, DURATION);
    const phrase = (n: number) => timeOfBeat(grid, n * PHRASE_BEATS);
    const sections = Array.from({ length: 8 }, (_, n) => ({
      startTime: phrase(n * 2),
      endTime: phrase(n * 2 + 2),
    }));
    const analysis: JudgedTrack = {
      pyramid: { ...sounds[i % SOUNDS] },
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
    const tracks = library();
    let reasons = 0;
    /** Processor time and wall clock of `work`, ms. */
    const timed = (work: () => void) => {
      const cpu = process.cpuUsage();
      const began = performance.now();
      work();
      const wall = performance.now() - began;
      const { user, system } = process.cpuUsage(cpu);
      return { cpu: (user + system) / 1000, wall };
    };
    const all = () => {
      reasons = 0;
      for (const { analysis, markers } of tracks) {
        for (const { verdicts } of verdictTable(markers, analysis, decks)) {
          for (const verdict of verdicts) reasons += verdict.reasons.length;
        }
      }
    };
    // The columns of each deck are made at the first contrast that is asked for.
    const pictures = timed(() => {
      for (const { analysis } of tracks) for (const deck of decks) contrastAt(analysis, deck, DURATION / 2);
    });
    const first = timed(all);
    const warm = Array.from({ length: WARM_RUNS }, () => timed(all));
    const again = { cpu: median(warm.map(({ cpu }) => cpu)), wall: median(warm.map(({ wall }) => wall)) };
    const verdicts = TRACKS * MARKERS_PER_TRACK * decks.length;
    const row = (name: string, { cpu, wall }: { cpu: number; wall: number }, target: boolean) => [
      name,
      cpu.toFixed(1),
      wall.toFixed(1),
      ((cpu * 1000) / verdicts).toFixed(2),
      target ? against(Math.round(cpu * 10) / 10, TARGET_MS) : '',
    ];
    return [
      {
        title: 'Verdicts of a library',
        note:
          `${TRACKS * MARKERS_PER_TRACK} markers over ${TRACKS} tracks of ${DURATION / 60} minutes on ${decks.length} decks: ` +
          `${reasons} reasons. The pictures are kept with each track and deck, and so is each contrast.`,
        head: ['what', 'processor ms', 'wall ms', 'µs per verdict', 'target, processor ms'],
        rows: [
          row('pictures of each track on each deck, once', pictures, false),
          row('verdicts, first time', first, true),
          row(`verdicts, median of ${WARM_RUNS} more`, again, true),
        ],
      },
    ];
  },
};
