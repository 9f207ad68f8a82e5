/**
 * Generated songs with known beats for tuning and testing the grid: random drums, bass lines, chords and
 * arrangements in several styles. Different from the demo's synthesiser on purpose: what holds for both is
 * not tuned to one.
 */
import { Random } from './random.ts';
import { bass, chord, clap, hat, kick, RATE, snare } from './voices.ts';

export const STYLES = [
  'house',
  'techno',
  'breakbeat',
  'two-step',
  'half-time',
  'hip-hop',
  'swing',
  'three-four',
  'rock',
] as const;
export type Style = (typeof STYLES)[number];

export interface SongSpec {
  style: Style;
  bpm: number;
  seconds: number;
  seed: number;
  /** Time of beat 0, s. Default 0.2. */
  startOffset?: number;
  /** Noise level against the song's own RMS, dB (−12 is heavy). Default none. */
  noiseDb?: number;
  /** A second tempo from the bar nearest to `at` seconds on. */
  tempoChange?: { at: number; bpm: number };
  /** A drummer's drift: depth as a share of the tempo and period in seconds, plus jitter of each hit in s. */
  drift?: { depth: number; period: number; jitter: number };
  /** Every part plays all the time. */
  plain?: boolean;
}

export interface Song {
  samples: Float32Array;
  sampleRate: number;
  /** Every beat of the track, s. */
  beats: number[];
  /** Index of the beat in its bar, for each beat. */
  positions: number[];
  beatsPerBar: number;
  bpm: number;
  /** Index of the first beat of the first 8-bar phrase. */
  phraseBeats: number[];
}

/** Steps of a bar in sixteenths at which a voice plays. */
type Steps = readonly number[];

interface Kit {
  kick: Steps;
  snare: Steps;
  hat: Steps;
  openHat: Steps;
  bass: Steps;
  stab: Steps;
  swing: number;
}

const FOUR: Steps = [0, 4, 8, 12];
const EIGHTHS: Steps = [0, 2, 4, 6, 8, 10, 12, 14];
const SIXTEENTHS: Steps = Array.from({ length: 16 }, (_, i) => i);

function kitFor(style: Style, r: Random): Kit {
  const hats = r.pick([EIGHTHS, SIXTEENTHS, [2, 6, 10, 14], SIXTEENTHS.filter((s) => s % 4 !== 0)]);
  const stab = r.pick([[], [3, 6, 10], [2, 6, 10, 14], [0, 3, 6, 10, 13], [6, 14], [3, 11]]);
  const offBass = [2, 6, 10, 14];
  const basses = [
    offBass,
    [0, 3, 6, 10],
    SIXTEENTHS.filter((s) => s % 4 !== 0),
    [0, 6, 8, 14],
    [2, 5, 8, 11, 14],
    EIGHTHS,
  ];
  const swung = r.chance(0.25) ? r.range(0.53, 0.6) : 0.5;
  switch (style) {
    case 'house':
      return {
        kick: FOUR,
        snare: r.chance(0.8) ? [4, 12] : [],
        hat: hats,
        openHat: r.chance(0.7) ? [2, 6, 10, 14] : [],
        bass: r.pick(basses),
        stab,
        swing: swung,
      };
    case 'techno':
      return {
        kick: FOUR,
        snare: r.chance(0.4) ? [4, 12] : [],
        hat: hats,
        openHat: r.chance(0.5) ? [2, 6, 10, 14] : [],
        bass: r.pick(basses),
        stab: r.chance(0.5) ? stab : [],
        swing: 0.5,
      };
    case 'breakbeat':
      return {
        kick: r.pick([
          [0, 10],
          [0, 2, 10],
          [0, 10, 11],
          [0, 6, 10],
        ]),
        snare: r.pick([
          [4, 12],
          [4, 7, 9, 12],
          [4, 12, 15],
        ]),
        hat: r.pick([EIGHTHS, SIXTEENTHS]),
        openHat: [],
        bass: r.pick([[0], [0, 10], [0, 6, 10], [0, 8]]),
        stab: r.pick([[], [0], [6]]),
        swing: 0.5,
      };
    case 'two-step':
      return {
        kick: r.pick([
          [0, 10],
          [0, 7, 10],
        ]),
        snare: [4, 12],
        hat: r.pick([EIGHTHS, [2, 6, 10, 14], SIXTEENTHS]),
        openHat: [],
        bass: r.pick(basses),
        stab,
        swing: r.range(0.54, 0.62),
      };
    case 'half-time':
      return {
        kick: r.pick([[0], [0, 6], [0, 10], [0, 3, 14]]),
        snare: [8],
        hat: r.pick([EIGHTHS, SIXTEENTHS, FOUR]),
        openHat: [],
        bass: r.pick([[0], [0, 6, 12], [0, 10]]),
        stab: r.pick([[], [0], [4, 12]]),
        swing: 0.5,
      };
    case 'hip-hop':
      return {
        kick: r.pick([
          [0, 10],
          [0, 7, 10],
          [0, 2, 10],
          [0, 8, 11],
        ]),
        snare: [4, 12],
        hat: r.pick([EIGHTHS, SIXTEENTHS]),
        openHat: [],
        bass: r.pick([
          [0, 10],
          [0, 7, 10],
          [0, 3, 8],
        ]),
        stab: r.pick([[], [0], [0, 6]]),
        swing: r.range(0.5, 0.6),
      };
    case 'swing':
      return {
        kick: r.chance(0.7) ? FOUR : [0, 8],
        snare: [4, 12],
        hat: r.pick([EIGHTHS, SIXTEENTHS]),
        openHat: [],
        bass: r.pick(basses),
        stab,
        swing: r.range(0.58, 0.667),
      };
    case 'three-four':
      return {
        kick: r.pick([[0], [0, 4, 8]]),
        snare: r.pick([[4, 8], [8]]),
        hat: r.pick([
          [0, 2, 4, 6, 8, 10],
          [0, 4, 8],
        ]),
        openHat: [],
        bass: r.pick([[0], [0, 6], [0, 4, 8]]),
        stab: r.pick([[], [4, 8]]),
        swing: 0.5,
      };
    case 'rock':
      return {
        kick: r.pick([
          [0, 8],
          [0, 6, 8],
          [0, 8, 10],
        ]),
        snare: [4, 12],
        hat: EIGHTHS,
        openHat: [],
        bass: EIGHTHS,
        stab: r.pick([[], EIGHTHS, [0]]),
        swing: 0.5,
      };
  }
}

/** Which parts play in an 8-bar phrase. */
interface Section {
  kick: boolean;
  drums: boolean;
  bass: boolean;
  stab: boolean;
  pad: boolean;
}

function arrange(phrases: number, plain: boolean, r: Random): Section[] {
  const all: Section = { kick: true, drums: true, bass: true, stab: true, pad: true };
  if (plain) return Array.from({ length: phrases }, () => all);
  const intro = r.pick<Section>([
    { kick: false, drums: false, bass: false, stab: false, pad: true },
    { kick: true, drums: true, bass: false, stab: false, pad: false },
    { kick: false, drums: true, bass: false, stab: true, pad: true },
  ]);
  const breakdown = r.pick<Section>([
    { kick: false, drums: false, bass: false, stab: true, pad: true },
    { kick: false, drums: true, bass: true, stab: true, pad: true },
    { kick: false, drums: false, bass: true, stab: false, pad: true },
  ]);
  const pad = r.chance(0.6);
  return Array.from({ length: phrases }, (_, i) => {
    const share = i / phrases;
    if (i === 0) return intro;
    if (i === phrases - 1 && phrases > 3) return { ...all, bass: false, stab: false, pad: false };
    if (share > 0.4 && share < 0.56 && phrases > 2) return breakdown;
    return { ...all, pad, stab: share > 0.2 };
  });
}

const MINOR = [0, 2, 3, 5, 7, 8, 10];
const degreeHz = (tonic: number, degree: number) =>
  tonic * 2 ** (MINOR[((degree % 7) + 7) % 7] / 12 + Math.floor(degree / 7));

export function makeSong(spec: SongSpec): Song {
  const r = new Random(spec.seed * 7919 + spec.style.length * 31 + Math.round(spec.bpm * 100));
  const kit = kitFor(spec.style, r);
  const beatsPerBar = spec.style === 'three-four' ? 3 : 4;
  const start = spec.startOffset ?? 0.2;
  const beats: number[] = [];
  let t = start;
  let changed = false;
  for (let beat = 0; t < spec.seconds; beat++) {
    beats.push(t);
    let bpm = spec.bpm;
    const change = spec.tempoChange;
    if (change && (changed || (t >= change.at && beat % beatsPerBar === 0))) {
      changed = true;
      bpm = change.bpm;
    }
    if (spec.drift) bpm *= 1 + spec.drift.depth * Math.sin((2 * Math.PI * t) / spec.drift.period + spec.seed);
    t += 60 / bpm;
  }
  const out = new Float32Array(Math.round(spec.seconds * RATE));
  const timeOf = (beat: number) => {
    const i = Math.floor(beat);
    const a = beats[i] ?? Infinity;
    const b = beats[i + 1] ?? a + 60 / spec.bpm;
    return a + (b - a) * (beat - i);
  };
  const jitter = () => (spec.drift ? r.normal() * spec.drift.jitter : 0);
  const put = (voice: Float32Array, time: number, gain: number) => {
    const from = Math.round((time + jitter()) * RATE);
    if (!(from >= 0)) return;
    const n = Math.min(voice.length, out.length - from);
    for (let i = 0; i < n; i++) out[from + i] += gain * voice[i];
  };

  const beatSeconds = 60 / spec.bpm;
  const k = kick(r);
  const s = r.chance(0.5) ? snare(r) : clap(r);
  const h = hat(r, r.range(0.03, 0.06));
  const o = hat(r, Math.min(0.22, beatSeconds * 0.45));
  const tonic = 55 * 2 ** (r.int(0, 11) / 12) * (r.chance(0.5) ? 0.75 : 1);
  const progression = r.pick([[0, 5, 3, 4], [0, 0, 5, 6], [0, 3], [0], [0, 6, 5, 6]]);
  const barsPerChord = r.pick([1, 1, 2]);
  const brightHz = r.range(180, 1200);
  const bassSeconds = beatSeconds * r.range(0.2, 0.45);
  const bassAttack = r.range(0.002, 0.015);
  const cache = new Map<string, Float32Array>();
  const cached = (key: string, make: () => Float32Array) => {
    const hit = cache.get(key) ?? make();
    cache.set(key, hit);
    return hit;
  };
  const gain = {
    kick: r.range(0.7, 1),
    snare: r.range(0.3, 0.6),
    hat: r.range(0.15, 0.5),
    bass: r.range(0.3, 0.9),
    stab: r.range(0.15, 0.4),
    pad: r.range(0.08, 0.25),
  };
  const bars = Math.ceil(beats.length / beatsPerBar);
  const sections = arrange(Math.ceil(bars / 8), spec.plain ?? false, r);
  const duck = new Float32Array(out.length).fill(1);
  const ducks = (spec.style === 'house' || spec.style === 'techno') && r.chance(0.7);
  const duckDepth = r.range(0.3, 0.8);

  /** Swings the off sixteenths (or, for `swing` style, the off eighths) late. */
  const swungBeat = (bar: number, step: number) => {
    const unit = spec.style === 'swing' ? 4 : 2;
    const inPair = step % unit;
    const delay = inPair >= unit / 2 ? (kit.swing - 0.5) * unit : 0;
    return bar * beatsPerBar + (step + delay) / 4;
  };
  // Pads, stabs and bass first, so that the kick can duck them.
  for (let bar = 0; bar < bars; bar++) {
    const section = sections[Math.floor(bar / 8)];
    const degree = progression[Math.floor(bar / barsPerChord) % progression.length];
    const barTime = timeOf(bar * beatsPerBar);
    if (!Number.isFinite(barTime)) break;
    if (section.pad && bar % barsPerChord === 0) {
      const seconds = beatSeconds * beatsPerBar * barsPerChord;
      const notes = [0, 2, 4].map((n) => degreeHz(tonic * 4, degree + n));
      put(
        cached(`pad${degree}`, () => chord(r, notes, seconds, 900, 0.12)),
        barTime,
        gain.pad,
      );
    }
    if (section.bass)
      for (const step of kit.bass) {
        const hz = degreeHz(tonic, degree) * (step % 4 === 3 ? 2 : 1);
        put(
          cached(`bass${hz}`, () => bass(r, hz, bassSeconds, brightHz, bassAttack)),
          timeOf(swungBeat(bar, step)),
          gain.bass,
        );
      }
    if (section.stab)
      for (const step of kit.stab) {
        const notes = [0, 2, 4, 6].map((n) => degreeHz(tonic * 4, degree + n));
        put(
          cached(`stab${degree}`, () => chord(r, notes, beatSeconds * 0.35, 2500, 0.004)),
          timeOf(swungBeat(bar, step)),
          gain.stab,
        );
      }
    if (ducks && section.kick)
      for (const step of kit.kick) {
        const from = Math.round(timeOf(bar * beatsPerBar + step / 4) * RATE);
        const n = Math.round(beatSeconds * 0.45 * RATE);
        for (let i = 0; i < n && from + i < duck.length; i++)
          if (from + i >= 0) duck[from + i] = 1 - duckDepth * (1 - i / n) ** 2;
      }
  }
  for (let i = 0; i < out.length; i++) out[i] *= duck[i];
  for (let bar = 0; bar < bars; bar++) {
    const section = sections[Math.floor(bar / 8)];
    const fill = !spec.plain && bar % 8 === 7 && r.chance(0.5);
    const hit = (steps: Steps, voice: Float32Array, level: number) => {
      for (const step of steps) put(voice, timeOf(swungBeat(bar, step)), level * r.range(0.9, 1.05));
    };
    if (section.kick) hit(fill ? kit.kick.filter((x) => x < 12) : kit.kick, k, gain.kick);
    if (section.drums) {
      hit(fill ? [...kit.snare, 13, 14, 15].filter((x) => x < beatsPerBar * 4) : kit.snare, s, gain.snare);
      hit(kit.hat, h, gain.hat);
      hit(kit.openHat, o, gain.hat);
    }
  }
  finishLevels(out, spec, r);
  return {
    samples: out,
    sampleRate: RATE,
    beats: beats.filter((b) => b < spec.seconds),
    positions: beats.map((_, i) => i % beatsPerBar),
    beatsPerBar,
    bpm: spec.bpm,
    phraseBeats: beats.flatMap((_, i) => (i % (8 * beatsPerBar) === 0 ? [i] : [])),
  };
}

/** Adds the noise and brings the peak under full scale with a soft clipper. */
function finishLevels(out: Float32Array, spec: SongSpec, r: Random): void {
  let power = 0;
  for (const x of out) power += x * x;
  const noise =
    spec.noiseDb === undefined ? 0 : Math.sqrt(power / out.length) * 10 ** (spec.noiseDb / 20) * Math.sqrt(3);
  for (let i = 0; i < out.length; i++) {
    const x = 0.7 * (out[i] + noise * (2 * r.next() - 1));
    out[i] = Math.tanh(x);
  }
}
