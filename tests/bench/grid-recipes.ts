/** Which generated songs the grid is fitted on, and which it is judged on. */
import { LOOP_PARTS, LOOP_STYLES, type LoopStyle } from '../../demo/arrange/loops.ts';
import { renderPattern } from '../../demo/pattern.ts';
import { CLUB_STYLES } from '../grid/club/grooves.ts';
import { clubTrack } from '../grid/club/track.ts';
import { Random } from '../grid/random.ts';
import { drawTempo } from '../grid/regional.ts';
import { makeSong, STYLES, type Style } from '../grid/songs.ts';
import type { SongRecipe } from './grid-songs.ts';

/** Seeds of songs.ts: for judging only, for the fit, and for the fit without an arrangement. */
export const HELD_OUT_SEED = 13_000;
const FIT_SEED = 20_000;
const PLAIN_FIT_SEED = 30_000;

const SONG_SOURCES = ['tests/grid/songs.ts', 'tests/grid/voices.ts', 'tests/grid/random.ts'];
const PATTERN_SOURCES = ['demo/pattern.ts', 'demo/arrange', 'demo/synth'];

const CLUB_SOURCES = ['tests/grid/club', 'tests/grid/random.ts'];

/** Styles of songs whose tempo changes. */
const CHANGING = ['house', 'techno', 'breakbeat', 'two-step', 'swing', 'hip-hop'] as const;

/** Tempi at which each style's rhythm can be met at all, for the fit: wider than the usual ones. */
const WIDE: Record<Style, [number, number]> = {
  house: [63, 200],
  techno: [70, 185],
  breakbeat: [85, 200],
  'two-step': [90, 150],
  'half-time': [110, 185],
  'hip-hop': [68, 110],
  swing: [75, 180],
  'three-four': [75, 190],
  rock: [70, 190],
};

const WIDE_PATTERNS: Record<LoopStyle, [number, number]> = {
  house: [112, 135],
  techno: [120, 155],
  breakbeat: [85, 180],
  'half-time': [120, 175],
  swing: [95, 140],
  'three-four': [85, 160],
};

/** A song of songs.ts: tempo usual for its style or anything that its rhythm can bear, or a loop without arrangement. */
export function songRecipe(seed: number, kind: 'usual' | 'wide' | 'plain'): SongRecipe {
  return {
    name: `song-${seed}-${kind}`,
    sources: SONG_SOURCES,
    make() {
      const r = new Random(seed * 103 + 9);
      const style = STYLES[seed % STYLES.length];
      const tempo = kind === 'wide' ? r.range(...WIDE[style]) : drawTempo(style, r);
      const bpm = r.chance(0.5) ? Math.round(tempo) : Math.round(tempo * 100) / 100;
      const noiseDb = r.chance(0.15) ? -12 : r.chance(0.3) ? -30 : undefined;
      const song = makeSong({
        style,
        bpm,
        seconds: r.range(60, 130),
        seed,
        startOffset: r.range(0, 2),
        noiseDb,
        plain: kind === 'plain',
      });
      const { beats, beatsPerBar, samples, sampleRate } = song;
      return { style, bpm, beats, beatsPerBar, firstBeatInBar: 0, channels: [samples], sampleRate };
    },
  };
}

/** A loop of the demo's synthesiser, with parts that pause and parts that are missing. */
export function patternRecipe(seed: number): SongRecipe {
  return {
    name: `pattern-${seed}`,
    sources: PATTERN_SOURCES,
    make() {
      const r = new Random(seed * 211 + 5);
      const style = LOOP_STYLES[seed % LOOP_STYLES.length];
      const tempo = r.range(...WIDE_PATTERNS[style]);
      const bpm = r.chance(0.5) ? Math.round(tempo) : Math.round(tempo * 100) / 100;
      const seconds = r.range(60, 110);
      const barSeconds = (60 * (style === 'three-four' ? 3 : 4)) / bpm;
      const startOffset = r.range(0, 1.5);
      const bars = Math.floor(seconds / barSeconds / 8);
      const mutes = Array.from({ length: r.int(0, 4) }, () => {
        const from = startOffset + 8 * r.int(0, bars) * barSeconds - 0.01;
        const parts = LOOP_PARTS.filter(() => r.chance(0.35));
        return { from, to: from + 8 * barSeconds, parts };
      });
      const { left, right, sampleRate, truth } = renderPattern({
        style,
        bpm,
        seconds,
        seed: 20_000 + seed,
        startOffset,
        mutes,
        without: LOOP_PARTS.filter((part) => part !== 'kick' && r.chance(0.15)),
        noiseDb: r.chance(0.2) ? -14 : undefined,
      });
      const { beats, beatsPerBar } = truth;
      return { style, bpm, beats, beatsPerBar, firstBeatInBar: 0, channels: [left, right], sampleRate };
    },
  };
}

/** A track of club/, which nothing is fitted on. */
export function clubRecipe(seed: number): SongRecipe {
  return {
    name: `club-${seed}`,
    sources: CLUB_SOURCES,
    make() {
      const style = CLUB_STYLES[seed % CLUB_STYLES.length];
      const { samples, ...truth } = clubTrack(style, new Random(seed).range(70, 150), seed);
      return { ...truth, channels: [samples] };
    },
  };
}

/** Songs that the weights are fitted on, with what each counts. */
export function fittedRecipes(): { recipe: SongRecipe; weight: number }[] {
  const several = (count: number, of: (i: number) => { recipe: SongRecipe; weight: number }) =>
    Array.from({ length: count }, (_, i) => of(i));
  return [
    ...several(540, (i) =>
      i % 10 < 4
        ? { recipe: songRecipe(FIT_SEED + i, 'wide'), weight: 0.4 }
        : { recipe: songRecipe(FIT_SEED + i, 'usual'), weight: 1 },
    ),
    ...several(180, (i) => ({ recipe: songRecipe(PLAIN_FIT_SEED + i, 'plain'), weight: 0.5 })),
    ...several(240, (i) => ({ recipe: patternRecipe(i), weight: 1 })),
  ];
}

/** A song of songs.ts whose tempo changes once, by 2 to 8 %, anywhere in its middle two thirds. */
export function changeRecipe(seed: number): SongRecipe {
  return {
    name: `change-${seed}`,
    sources: SONG_SOURCES,
    make() {
      const r = new Random(seed * 67 + 3);
      const style = CHANGING[seed % CHANGING.length];
      const bpm = Math.round(drawTempo(style, r));
      const seconds = r.range(80, 120);
      const factor = 1 + r.range(0.02, 0.08) * r.pick([-1, 1]);
      const tempoChange = { at: seconds * r.range(0.2, 0.8), bpm: Math.round(bpm * factor) };
      const song = makeSong({ style, bpm, seconds, seed, startOffset: r.range(0, 2), tempoChange });
      const { beats, beatsPerBar, samples, sampleRate } = song;
      return { style, bpm, beats, beatsPerBar, firstBeatInBar: 0, channels: [samples], sampleRate };
    },
  };
}
