/** The grid on generated songs that no weight was fitted on: tempo, beat at both ends, bar, and what its confidence is worth. */
import { beatsBetween, mainTempo, type BeatGrid } from '../../shared/grid/grid.ts';
import { gridFromFeatures } from '../../workers/stages/grid/index.ts';
import { beatTimes, endDeviation } from '../grid/helpers.ts';
import { worstDeviation } from '../grid/metrics.ts';
import { changeRecipe, clubRecipe, HELD_OUT_SEED, songRecipe } from './grid-recipes.ts';
import { featured, type FeaturedSong, type SongRecipe, type SongTruth } from './grid-songs.ts';
import { CALIBRATION_HEAD, calibrationRows, type Said } from './logistic.ts';
import { median, type Bench, type Table } from './table.ts';

/** The bound: 10 ms at the first and at the last beat. */
const BOUND_SECONDS = 0.01;
/** A beat this near is the right one, however exact. */
const RIGHT_BEAT_SECONDS = 0.04;
const SAME_TEMPO = 0.005;
const SONGS = 108;
const CLUB_TRACKS = 144;

const CHANGES = 36;
/** Seeds of songs whose tempo changes, and how near every beat must be, s. */
const CHANGE_SEED = 17_100;
const CHANGE_SECONDS = 0.025;

/** What became of one song. */
export interface Outcome {
  song: SongTruth & { name: string };
  grid: BeatGrid;
  /** Tempo, or its octave within the range that a grid may have. */
  octave: boolean;
  /** Larger distance of the first and last beat, s. */
  off: number;
  rightBeat: boolean;
  /** Octave, beat and 10 ms at both ends: what the issue asks. */
  right: boolean;
  downbeat: boolean;
}

export function outcomeOf(song: SongTruth & { name: string }, grid: BeatGrid): Outcome {
  const tempo = mainTempo(grid) ?? 0;
  const octave = Math.abs(tempo / song.bpm - 1) < SAME_TEMPO;
  const off = grid.kind === 'none' ? Infinity : endDeviation(grid, song.beats);
  const rightBeat = octave && off < RIGHT_BEAT_SECONDS;
  const right = rightBeat && grid.kind === 'constant' && off <= BOUND_SECONDS;
  const middle = Math.floor(song.beats.length / 2);
  const time = song.beats[middle];
  const near = beatsBetween(grid, time - RIGHT_BEAT_SECONDS, time + RIGHT_BEAT_SECONDS)[0];
  const place = (song.firstBeatInBar + middle) % song.beatsPerBar;
  const downbeat =
    rightBeat &&
    grid.beatsPerBar === song.beatsPerBar &&
    near !== undefined &&
    (((near.beat + grid.firstBeatInBar) % grid.beatsPerBar) + grid.beatsPerBar) % grid.beatsPerBar === place;
  return { song, grid, octave, off, rightBeat, right, downbeat };
}

export function heldOutRecipes(): { title: string; recipes: SongRecipe[] }[] {
  return [
    {
      title: `${SONGS} songs of songs.ts`,
      recipes: Array.from({ length: SONGS }, (_, i) => songRecipe(HELD_OUT_SEED + i, 'usual')),
    },
    {
      title: `${CLUB_TRACKS} tracks of club/`,
      recipes: Array.from({ length: CLUB_TRACKS }, (_, i) => clubRecipe(i)),
    },
  ];
}

export function outcomesOf(
  recipes: SongRecipe[],
  gridOf = (song: FeaturedSong) => gridFromFeatures(song.features),
): Outcome[] {
  return recipes.map((recipe) => {
    const song = featured(recipe);
    const { features: _, ...truth } = song;
    return outcomeOf(truth, gridOf(song));
  });
}

export function outcomeTable(title: string, outcomes: Outcome[]): Table {
  const styles = [...new Set(outcomes.map((o) => o.song.style))];
  const row = (name: string, list: Outcome[]) => {
    const count = (is: (o: Outcome) => boolean) => list.filter(is).length;
    const offs = list.filter((o) => o.rightBeat).map((o) => o.off * 1000);
    const half = (o: Outcome) => o.octave && Math.abs(o.off - 30 / o.song.bpm) < RIGHT_BEAT_SECONDS;
    return [
      name,
      list.length,
      count((o) => o.octave),
      count(half),
      count((o) => o.rightBeat),
      count((o) => o.right),
      count((o) => o.downbeat),
      offs.length ? median(offs).toFixed(1) : '–',
    ];
  };
  return {
    title: `Grids of ${title}, constant tempo, not seen by any fit`,
    note: 'Right: octave, beat, and within 10 ms at the first and last beat. Median of the larger deviation at both ends.',
    head: ['style', 'songs', 'octave', 'off-beat', 'beat', 'right', 'downbeat', 'median ms'],
    rows: [
      ...styles.map((s) =>
        row(
          s,
          outcomes.filter((o) => o.song.style === s),
        ),
      ),
      row('all', outcomes),
    ],
  };
}

/** Songs whose tempo changes once: right when every beat is met. */
export function changeTable(recipes: SongRecipe[]): Table {
  const outcomes = recipes.map((recipe) => {
    const song = featured(recipe);
    const grid = gridFromFeatures(song.features);
    const beats = beatTimes(grid, song.beats);
    return {
      style: song.style,
      found: grid.kind === 'variable',
      right: beats.length > 0 && worstDeviation(song.beats, beats) <= CHANGE_SECONDS,
    };
  });
  const row = (name: string, list: typeof outcomes) => [
    name,
    list.length,
    list.filter((o) => o.found).length,
    list.filter((o) => o.right).length,
  ];
  const styles = [...new Set(outcomes.map((o) => o.style))];
  return {
    title: 'One change of tempo',
    note: 'Right: every beat within 25 ms of one of the grid, and every one of the grid of a beat.',
    head: ['style', 'songs', 'change found', 'right'],
    rows: [
      ...styles.map((s) =>
        row(
          s,
          outcomes.filter((o) => o.style === s),
        ),
      ),
      row('all', outcomes),
    ],
  };
}

export const heldOutBench: Bench = {
  name: 'grid-held-out',
  async run(): Promise<Table[]> {
    const tables: Table[] = [];
    const said: Said[] = [];
    for (const { title, recipes } of heldOutRecipes()) {
      const outcomes = outcomesOf(recipes);
      tables.push(outcomeTable(title, outcomes));
      said.push(...outcomes.map((o) => ({ confidence: o.grid.confidence, right: o.rightBeat })));
    }
    tables.push({
      title: 'Confidence of these grids',
      note: 'Right: octave and beat.',
      head: CALIBRATION_HEAD,
      rows: calibrationRows(said),
    });
    tables.push(changeTable(Array.from({ length: CHANGES }, (_, i) => changeRecipe(CHANGE_SEED + i))));
    return tables;
  },
};
