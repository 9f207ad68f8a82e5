/** Short generated patterns with their ground truth, for tests of anything that hears beats. */
import { timeOfBeat, type GridSegment } from '../shared/grid/grid.ts';
import { keyAt, keyName, type Mode } from './arrange/harmony.ts';
import { makeLoopKit } from './arrange/loop-kit.ts';
import { barOfLoop, makeGroove, type LoopPart, type LoopStyle } from './arrange/loops.ts';
import { changedTempo, constantTempo, driftingTempo, swung, type Drift } from './arrange/tempo.ts';
import { addNoise } from './synth/noise.ts';
import { mulberry32, pick, seedFrom } from './synth/prng.ts';
import { bed, mix, normalise, sides } from './synth/voice.ts';
import { truthGrid, type Truth } from './truth.ts';

export interface PatternOptions {
  style: LoopStyle;
  bpm: number;
  /** s of audio */
  seconds: number;
  seed: number;
  /** Time of the first beat, s; nothing sounds before it. Default 0. */
  startOffset?: number;
  /** White noise over the whole, dB against the RMS of the music (−12 = 12 dB below). Default none. */
  noiseDb?: number;
  /** From beat `atBeat` on the tempo is `bpm`. */
  tempoChange?: { atBeat: number; bpm: number };
  /** A player without a click (then `bpm` is not used). */
  drift?: Drift;
  /** Parts that fall silent for a while (s): `all` for every part. */
  mutes?: { from: number; to: number; parts: LoopPart[] | 'all' }[];
  /** Parts that never play. */
  without?: LoopPart[];
  /** Hz. Default 44100. */
  sampleRate?: number;
}

/** Stereo samples with what is true of them. */
export interface Rendered {
  left: Float32Array;
  right: Float32Array;
  /** Hz */
  sampleRate: number;
  truth: Truth;
}

const PEAK = 0.9;
const BARS_PER_PHRASE = 8;
const MIX: Record<LoopPart, number> = {
  kick: 0.9,
  snare: 0.6,
  hat: 0.3,
  open: 0.3,
  ghost: 0.4,
  crash: 0.25,
  bass: 0.45,
  chord: 0.3,
};

/** Renders a groove of `style` that the seed settles; the same options give the same samples. */
export function renderPattern(options: PatternOptions): Rendered {
  const { style, seconds, seed, sampleRate = 44100 } = options;
  const random = mulberry32(seedFrom('pattern', style, seed));
  const groove = makeGroove(style, random);
  const key = keyAt(Math.floor(random() * 12), pick<Mode>(random, ['minor', 'minor', 'major']));
  const kit = makeLoopKit(style, key, sampleRate, random);
  const truth = patternTruth(options, groove.beatsPerBar, groove.swing, keyName(key));
  const grid = truthGrid(truth);
  const voice = bed(Math.round(seconds * sampleRate));
  const bars = Math.ceil(truth.beats.length / groove.beatsPerBar);
  for (let bar = 0; bar < bars; bar++) {
    const step = groove.progression[bar % groove.progression.length];
    for (const hit of barOfLoop(groove, bar, random)) {
      const beat = bar * groove.beatsPerBar + swung(hit.beat, groove.swing);
      const time = timeOfBeat(grid, beat);
      if (options.without?.includes(hit.part) || isMuted(options, hit.part, time)) continue;
      const beatSeconds = timeOfBeat(grid, beat + 1) - time;
      const pan = hit.part === 'hat' ? 0.2 : hit.part === 'ghost' ? -0.3 : 0;
      mix(voice, kit(hit, step, beatSeconds), Math.round(time * sampleRate), hit.gain * MIX[hit.part], pan);
    }
  }
  if (options.noiseDb !== undefined) addNoise(voice, options.noiseDb, random);
  normalise(voice, PEAK);
  return { ...voice, sampleRate, truth };
}

/** The mean of both sides. */
export function monoOf(rendered: { left: Float32Array; right: Float32Array }): Float32Array {
  const [left, right = left] = sides(rendered);
  return left.map((x, i) => (x + right[i]) / 2);
}

function isMuted(options: PatternOptions, part: LoopPart, time: number): boolean {
  return (options.mutes ?? []).some(
    (mute) => time >= mute.from && time < mute.to && (mute.parts === 'all' || mute.parts.includes(part)),
  );
}

function patternTruth(options: PatternOptions, beatsPerBar: number, swing: number, key: string): Truth {
  const { bpm, seconds, startOffset = 0, tempoChange, drift, seed } = options;
  let tempoMap: GridSegment[];
  if (drift) {
    const beats = Math.ceil(((seconds - startOffset) * Math.max(drift.fromBpm, drift.toBpm)) / 60) + 2;
    tempoMap = driftingTempo(drift, startOffset, beats, seedFrom('drift', seed));
  } else if (tempoChange) tempoMap = changedTempo(bpm, startOffset, tempoChange.atBeat, tempoChange.bpm);
  else tempoMap = constantTempo(bpm, startOffset);
  const truth: Truth = {
    duration: seconds,
    kind: drift || tempoChange ? 'variable' : 'constant',
    bpm,
    beatsPerBar,
    firstBeatInBar: 0,
    phraseOffsetBars: 0,
    beats: [],
    downbeats: [],
    phrases: [],
    tempoMap,
    swing,
    sections: [],
    key,
  };
  const grid = truthGrid(truth);
  for (let beat = 0; timeOfBeat(grid, beat) < seconds; beat++) truth.beats.push(timeOfBeat(grid, beat));
  truth.downbeats = truth.beats.filter((_, i) => i % beatsPerBar === 0);
  truth.phrases = truth.downbeats.filter((_, i) => i % BARS_PER_PHRASE === 0);
  if (truth.kind === 'variable' && truth.beats.length > 1) {
    truth.bpm = (60 * (truth.beats.length - 1)) / (truth.beats.at(-1)! - truth.beats[0]);
  }
  return truth;
}
