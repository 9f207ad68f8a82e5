/** Generated pieces in a known key: a chord loop, a bass, a melody from the scale, with or without drums. */
import { createHarmonyStage, type HarmonyFeatures } from '../../workers/stages/key/index.ts';
import { MAJOR_TONICS, MINOR_TONICS } from '../../workers/stages/key/key-profiles.ts';

export const RATE = 11025;

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
  const midi = (degree: number, octave: number) =>
    12 * (octave + 1 + Math.floor(degree / 7)) + piece.tonic + scale[((degree % 7) + 7) % 7];
  const chordSeconds = 2;
  for (let n = 0; n * chordSeconds < seconds; n++) {
    const root = piece.chords[n % piece.chords.length];
    const start = n * chordSeconds;
    for (const step of [0, 2, 4]) addNote(out, midi(root + step, 4), start, start + chordSeconds, 0.1, piece);
    if (piece.bass !== false) {
      for (let half = 0; half < 4; half++) {
        addNote(out, midi(root, 2), start + half / 2, start + half / 2 + 0.4, 0.25, piece);
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

const LOOPS = {
  minor: [[0, 5, 2, 6], [0, 3, 4, 0], [0, 6, 5, 6], [0, 0, 3, 4], [0, 3, 6, 2], [0, 5, 3, 4], [0], [0, 6]],
  major: [[0, 3, 4, 0], [0, 4, 5, 3], [0, 5, 3, 4], [0, 3, 0, 4], [0, 1, 4, 0], [0], [0, 3]],
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
