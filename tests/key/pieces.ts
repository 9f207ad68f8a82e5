/** Generated pieces in a known key: a chord loop, a bass, a melody from the scale, with or without drums. */
import { type BeatGrid, noGrid } from '../../shared/grid/grid.ts';
import { createHarmonyStage, type HarmonyFeatures } from '../../workers/stages/key/index.ts';
import { MAJOR_TONICS, MINOR_TONICS } from '../../shared/keys.ts';

export const RATE = 11025;
/** A bar of four beats at 120 bpm, and one chord. */
export const BAR_SECONDS = 2;
/** Where in the bar short chords begin, s, and how long they are. */
const STABS = [0.25, 1.25];
const STAB_SECONDS = 0.2;

/** Partials above are left out: the notes are looked for below 1.2 kHz. */
const HIGHEST_PARTIAL_HZ = 3000;

export type Timbre = 'sine' | 'organ' | 'saw' | 'square' | 'pluck' | 'bell';
export const TIMBRES: Timbre[] = ['sine', 'organ', 'saw', 'square', 'pluck', 'bell'];

export interface Piece {
  /** 0 = C */
  tonic: number;
  minor: boolean;
  /** Roots of the chords as steps of the scale, 0 = tonic. */
  chords: number[];
  timbre: Timbre;
  cents?: number;
  /** Linear level of the drums (1 = as loud as they get). */
  drums?: number;
  /** Linear level of white noise. */
  noise?: number;
  melody?: boolean;
  bass?: boolean;
  /** Notes of each chord in thirds above its root. Default 3 (a triad); 4 adds the seventh. */
  chordSize?: number;
  /** In minor, the chord on the fifth step takes the raised seventh of the scale. */
  leadingNote?: boolean;
  /** What the bass does apart from the root: nothing, its fifth, or a stay on the tonic throughout. */
  bassLine?: 'root' | 'fifth' | 'pedal';
  /** Octave of the bass, 2 if not given; in 1 its notes are those of a sub-bass. */
  bassOctave?: 1 | 2;
  /** Short chords on two off-beats instead of one that lasts. */
  stabs?: boolean;
  /** Linear level of each note of a chord. Default 0.1. */
  chordLevel?: number;
  seconds?: number;
  seed?: number;
}

/** 24 numbers: major from C, then minor from C. */
export function keyNameOf(tonic: number, minor: boolean): string {
  return minor ? `${MINOR_TONICS[tonic]} minor` : `${MAJOR_TONICS[tonic]} major`;
}

const MAJOR = [0, 2, 4, 5, 7, 9, 11];
const MINOR = [0, 2, 3, 5, 7, 8, 10];

/** Relative levels of the partials. */
const PARTIALS: Record<Timbre, [ratio: number, level: number][]> = {
  sine: [[1, 1]],
  organ: [
    [1, 1],
    [2, 0.6],
    [3, 0.3],
    [4, 0.2],
  ],
  saw: Array.from({ length: 12 }, (_, i) => [i + 1, 1 / (i + 1)]),
  square: Array.from({ length: 7 }, (_, i) => [2 * i + 1, 1 / (2 * i + 1)]),
  pluck: Array.from({ length: 8 }, (_, i) => [i + 1, 1 / (i + 1) ** 1.5]),
  bell: [
    [1, 1],
    [2, 0.5],
    [2.76, 0.2],
    [4.07, 0.1],
  ],
};

export function random(seed: number): () => number {
  let state = (Math.imul(seed, 2654435761) + 12345) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

function addNote(out: Float32Array, midi: number, from: number, to: number, level: number, piece: Piece) {
  const hz = 440 * 2 ** ((midi - 69 + (piece.cents ?? 0) / 100) / 12);
  const first = Math.round(from * RATE);
  const last = Math.min(out.length, Math.round(to * RATE));
  const decay = piece.timbre === 'pluck' ? 6 : piece.timbre === 'bell' ? 3 : 0;
  for (const [ratio, share] of PARTIALS[piece.timbre]) {
    if (hz * ratio > HIGHEST_PARTIAL_HZ) continue;
    // A rotating pair instead of a sine per sample: these tests render hours of notes.
    const step = (2 * Math.PI * hz * ratio) / RATE;
    const fade = Math.exp(-decay / RATE);
    const [c, d] = [fade * Math.cos(step), fade * Math.sin(step)];
    const rim = 0.01 * RATE;
    let x = level * share;
    let y = 0;
    for (let i = first; i < last; i++) {
      const edge = Math.min(i - first, last - i);
      out[i] += edge < rim ? (y * edge) / rim : y;
      [x, y] = [c * x - d * y, d * x + c * y];
    }
  }
}

/** Kick with a falling pitch, snare of noise and a low tone, hats. */
export function addDrums(out: Float32Array, level: number, seed: number) {
  const next = random(seed);
  const beat = 0.5;
  for (let start = 0, n = 0; start < out.length / RATE; start += beat / 2, n++) {
    const first = Math.round(start * RATE);
    let phase = 0;
    for (let i = first; i < Math.min(out.length, first + RATE * 0.25); i++) {
      const t = (i - first) / RATE;
      if (n % 2 === 0) {
        phase += (2 * Math.PI * (50 + 120 * Math.exp(-t * 30))) / RATE;
        out[i] += level * Math.exp(-t * 12) * Math.sin(phase);
      } else out[i] += level * 0.25 * Math.exp(-t * 60) * (2 * next() - 1);
      if (n % 4 === 2) {
        out[i] +=
          level * Math.exp(-t * 20) * (0.4 * (2 * next() - 1) + 0.3 * Math.sin(2 * Math.PI * 185 * t));
      }
    }
  }
}

export function render(piece: Piece): Float32Array {
  const seconds = piece.seconds ?? 32;
  const out = new Float32Array(Math.round(seconds * RATE));
  const scale = piece.minor ? MINOR : MAJOR;
  const next = random(piece.seed ?? 1);
  const midi = (degree: number, octave: number, raised = false) => {
    const step = ((degree % 7) + 7) % 7;
    const sharp = raised && piece.minor && step === 6 ? 1 : 0;
    return 12 * (octave + 1 + Math.floor(degree / 7)) + piece.tonic + scale[step] + sharp;
  };
  const chordSeconds = BAR_SECONDS;
  const thirds = Array.from({ length: piece.chordSize ?? 3 }, (_, i) => 2 * i);
  for (let n = 0; n * chordSeconds < seconds; n++) {
    const root = piece.chords[n % piece.chords.length];
    const start = n * chordSeconds;
    const raised = piece.leadingNote === true && root === 4;
    const level = piece.chordLevel ?? 0.1;
    for (const step of thirds) {
      const note = midi(root + step, 4, raised);
      if (!piece.stabs) addNote(out, note, start, start + chordSeconds, level, piece);
      else for (const at of STABS) addNote(out, note, start + at, start + at + STAB_SECONDS, level, piece);
    }
    if (piece.bass !== false) {
      for (let half = 0; half < 4; half++) {
        const line = piece.bassLine ?? 'root';
        const degree = line === 'pedal' ? 0 : line === 'fifth' && half % 2 ? root + 4 : root;
        addNote(
          out,
          midi(degree, piece.bassOctave ?? 2),
          start + half / 2,
          start + half / 2 + 0.4,
          0.25,
          piece,
        );
      }
    }
    if (piece.melody) {
      for (let half = 0; half < 4; half++) {
        const degree = next() < 0.5 ? root + 2 * Math.floor(next() * 3) : Math.floor(next() * 7);
        addNote(out, midi(degree, 5), start + half / 2, start + half / 2 + 0.4, 0.1, piece);
      }
    }
  }
  if (piece.drums) addDrums(out, piece.drums, (piece.seed ?? 1) + 77);
  if (piece.noise) for (let i = 0; i < out.length; i++) out[i] += piece.noise * (2 * next() - 1);
  return out;
}

export function harmonyOf(samples: Float32Array, rate = RATE, blockLength = 5000): HarmonyFeatures {
  const stage = createHarmonyStage({ sampleRate: rate, channels: 1 });
  for (let i = 0; i < samples.length; i += blockLength) stage.push([samples.subarray(i, i + blockLength)]);
  return stage.finish();
}

/** Loops that begin on the tonic, as most do. */
const LOOPS = {
  minor: [[0, 5, 2, 6], [0, 3, 4, 0], [0, 6, 5, 6], [0, 0, 3, 4], [0, 3, 6, 2], [0, 5, 3, 4], [0], [0, 6]],
  major: [[0, 3, 4, 0], [0, 4, 5, 3], [0, 5, 3, 4], [0, 3, 0, 4], [0, 1, 4, 0], [0], [0, 3]],
};

/**
 * Longer ones, and some that begin elsewhere: those may be heard in the relative key as well, and nothing but their
 * label here says which is meant.
 */
const OTHER_LOOPS = {
  minor: [
    [0, 0, 5, 5, 2, 2, 6, 6],
    [0, 0, 0, 0, 5, 5, 6, 6],
    [0, 2, 6, 3],
    [0, 4, 5, 3],
    [5, 6, 0, 0],
    [3, 0, 6, 0],
  ],
  major: [
    ...[
      [0, 5, 1, 4],
      [0, 2, 3, 4],
      [0, 0, 5, 5, 3, 3, 4, 4],
      [0, 4, 0, 3],
    ],
    ...[
      [5, 3, 0, 4],
      [3, 4, 0, 5],
      [1, 4, 0, 0],
    ],
  ],
};

/** A piece drawn at random: the harder draws have few chords, loud drums, noise and bad tuning. */
export function drawPiece(seed: number): Piece {
  const next = random(seed * 7919);
  const pick = <T>(list: T[]): T => list[Math.floor(next() * list.length)];
  const minor = next() < 0.6;
  return {
    tonic: Math.floor(next() * 12),
    minor,
    chords: pick(minor ? LOOPS.minor : LOOPS.major),
    timbre: pick(TIMBRES),
    cents: Math.round(60 * next() - 30),
    drums: next() < 0.7 ? 0.2 + 0.6 * next() : 0,
    noise: next() < 0.4 ? 0.2 * next() ** 2 : 0,
    melody: next() < 0.5,
    bass: next() < 0.8,
    seconds: 24,
    seed,
  };
}

/** The step of each scale whose triad is diminished, which loops leave out. */
const DIMINISHED = { minor: 1, major: 6 };

/** A loop of any chords of the scale; seven of eight begin on the tonic (estimate). */
function anyLoop(next: () => number, mode: 'minor' | 'major'): number[] {
  const steps = [0, 1, 2, 3, 4, 5, 6].filter((step) => step !== DIMINISHED[mode]);
  const loop = Array.from({ length: next() < 0.7 ? 4 : 8 }, () => steps[Math.floor(next() * steps.length)]);
  if (next() < 7 / 8) loop[0] = 0;
  return loop;
}

/** A longer piece in which the key is less plain: any chords, sevenths, a bass of its own, short or soft chords. */
export function drawVariedPiece(seed: number): Piece {
  const next = random(seed * 7919);
  const pick = <T>(list: T[]): T => list[Math.floor(next() * list.length)];
  const mode = next() < 0.6 ? 'minor' : 'major';
  return {
    tonic: Math.floor(next() * 12),
    minor: mode === 'minor',
    chords: next() < 0.5 ? pick([...LOOPS[mode], ...OTHER_LOOPS[mode]]) : anyLoop(next, mode),
    timbre: pick(TIMBRES),
    cents: Math.round(60 * next() - 30),
    drums: next() < 0.7 ? 0.2 + 0.6 * next() : 0,
    noise: next() < 0.4 ? 0.2 * next() ** 2 : 0,
    melody: next() < 0.5,
    bass: next() < 0.8,
    chordSize: next() < 0.4 ? 4 : 3,
    leadingNote: next() < 0.25,
    bassLine: pick(['root', 'root', 'fifth', 'pedal']),
    bassOctave: next() < 0.3 ? 1 : 2,
    stabs: next() < 0.35,
    chordLevel: 0.02 + 0.1 * next(),
    seconds: 52,
    seed,
  };
}

/**
 * The grid that a tracker would give for a piece: beats as they are, but phrases at the wrong bar for one piece in
 * five, and unknown for one in ten (estimates of how often that happens).
 */
export function gridOfPiece(piece: Piece): BeatGrid {
  const next = random((piece.seed ?? 1) * 104729);
  const luck = next();
  const endTime = piece.seconds ?? 32;
  return {
    ...noGrid(endTime),
    kind: 'constant',
    segments: [{ startBeat: 0, startTime: 0, bpm: 240 / BAR_SECONDS }],
    confidence: 1,
    phraseOffsetBars: luck < 0.1 ? null : luck < 0.3 ? Math.floor(8 * next()) : 0,
  };
}
