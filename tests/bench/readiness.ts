/** The readiness check of a long set: two hundred tracks against three booths. */
import { checkTracks, findingsOf } from '../../shared/gig/check/findings.ts';
import { scoreOf } from '../../shared/gig/check/score.ts';
import { lookAt, readinessOf } from '../../shared/gig/readiness.ts';
import { entryOf } from '../../shared/gig/set.ts';
import type { Booth, GigSet, PlannedMove, SetTrack } from '../../shared/gig/types.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { shippedDeck } from '../profiles/files.ts';
import { against, type Bench, median, type Table } from './table.ts';
import { library } from './verdicts.ts';

const TRACKS = 200;
const RUNS = 5;
const TARGET_MS = 1000;

const BOOTHS: string[][] = [
  ['wide-touch'],
  ['small-touch', 'touch-strip'],
  ['wide-touch', 'small-touch', 'overview-only'],
];
const MOVES: PlannedMove[] = [
  { kind: 'fire-cue', markerId: 'm1' },
  { kind: 'run-loop', markerId: 'm8' },
  { kind: 'jump-beats', beats: 16 },
  { kind: 'follow-tempo' },
];

/** Fresh tracks each time: what was judged once is kept with the track. */
function tracksOfSet(): SetTrack[] {
  return library(TRACKS).map(({ analysis, markers }, i) => {
    const title = `Night tide ${i % 7 ? i : 'over the long harbour wall'} (Mix ${i})`;
    const { source, duration, grid, sections, pyramid } = analysis;
    return {
      id: `t${i}`,
      title,
      artist: `Artist ${i % 20}`,
      fileName: `${i}.wav`,
      tags: {
        title,
        artist: `Artist ${i % 20}`,
        album: null,
        genre: null,
        year: null,
        comment: null,
        key: null,
        bpm: null,
        isrc: null,
      },
      source: i % 9 ? source : { ...source, container: 'flac', codec: 'flac', sampleRate: 96000 },
      duration,
      partial: null,
      silent: false,
      grid: { ...grid, confidence: i % 5 ? 1 : 0.6 },
      gridByHand: false,
      sections,
      markers,
      key: null,
      pyramid,
      metadataBytes: i % 4 ? 20_000 : 900_000,
    };
  });
}

export const readinessBench: Bench = {
  name: 'readiness',
  async run(): Promise<Table[]> {
    const profiles: DeckProfile[] = ['wide-touch', 'small-touch', 'touch-strip', 'overview-only'].map(
      shippedDeck,
    );
    const booths = BOOTHS.map((ids, i): Booth => ({
      id: `b${i}`,
      name: `Booth ${i}`,
      notes: '',
      decks: ids.map((profileId) => ({ profileId, count: 2, linked: true })),
    }));
    let found = 0;
    const timed = (work: () => void) => {
      const cpu = process.cpuUsage();
      const began = performance.now();
      work();
      const wall = performance.now() - began;
      const { user, system } = process.cpuUsage(cpu);
      return { cpu: (user + system) / 1000, wall };
    };
    const once = () => {
      const tracks = tracksOfSet();
      const set: GigSet = {
        id: 's',
        name: 'Set',
        boothId: null,
        entries: tracks.map((track, i) => ({
          ...entryOf(track, `e${i}`),
          mixIn: 15,
          mixOut: 300,
          moves: MOVES,
        })),
      };
      const check = () => {
        found = 0;
        for (const booth of booths) {
          const checks = checkTracks(set, tracks, booth, profiles);
          found += findingsOf(set, checks, booth, profiles).length;
          scoreOf(set, checks, booth, profiles);
        }
      };
      return {
        first: timed(check),
        again: timed(check),
        card: timed(() => {
          const looked = tracks.flatMap((track) => {
            const each = lookAt(track, set, booths[2], profiles);
            return each ? [[track.id, each] as const] : [];
          });
          readinessOf(set, new Map(looked), booths[2], profiles);
        }),
      };
    };
    const runs = Array.from({ length: RUNS }, once);
    const line = (name: string, cpu: number, wall: number, target: boolean) => [
      name,
      cpu.toFixed(0),
      wall.toFixed(0),
      target ? against(Math.round(cpu), TARGET_MS) : '',
    ];
    const row = (name: string, part: 'first' | 'again' | 'card', target: boolean) => {
      const of = (what: 'cpu' | 'wall') => median(runs.map((run) => run[part][what]));
      return line(name, of('cpu'), of('wall'), target);
    };
    const [cold] = runs;
    return [
      {
        title: 'Readiness of a set',
        note: `${TRACKS} tracks of six minutes with ten markers and four moves each, against ${booths.length} booths (four kinds of deck): ${found} findings. Median of ${RUNS} runs; every run has tracks of its own, of which nothing is kept.`,
        head: ['what', 'processor ms', 'wall ms', 'target, processor ms'],
        rows: [
          line('the first time in this process', cold.first.cpu, cold.first.wall, true),
          row('all three booths, the pictures made anew', 'first', true),
          row('all three booths again', 'again', true),
          row('the card of the third booth', 'card', false),
        ],
      },
    ];
  },
};
