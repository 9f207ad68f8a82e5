/**
 * Generated club tracks with known beats, written apart from songs.ts and from the demo: other sounds, patterns, layouts
 * and finish. No weight is fitted on them: what holds here is not tuned to a generator.
 */
import { Random } from '../random.ts';
import { crash, handClap, handDrum, kickDrum, metalHat, rimShot, shaker, snareDrum } from './drums.ts';
import { clubGroove, type ClubStyle, type Steps } from './grooves.ts';
import { clubBlocks, type ClubPart } from './sections.ts';
import { CLUB_RATE, Filter, white } from './sound.ts';
import { bassSound, chordSound, pluckSound, riser, syllable } from './tones.ts';

export interface ClubTrack {
  style: ClubStyle;
  samples: Float32Array;
  sampleRate: number;
  bpm: number;
  /** Every beat, s. */
  beats: number[];
  beatsPerBar: number;
  /** Place in the bar of the first beat. */
  firstBeatInBar: number;
}

const SCALES = [
  [0, 2, 3, 5, 7, 8, 10],
  [0, 1, 3, 5, 7, 8, 10],
  [0, 2, 4, 5, 7, 9, 11],
];
const PROGRESSIONS = [[0], [0, 0, 5, 6], [0, 5], [0, 3, 4, 3], [5, 6, 0, 0], [0, 2, 5, 4]];
/** A track begins on its first bar, or is cut from a longer one. */
const CUT_SHARE = 0.2;

/** @param seconds length of the audio; tempo, patterns, sounds and layout follow from the seed */
export function clubTrack(style: ClubStyle, seconds: number, seed: number): ClubTrack {
  const r = new Random(seed * 2654435 + 17);
  const groove = clubGroove(style, r);
  const exact = r.range(...groove.tempo);
  const bpm = r.chance(0.55) ? Math.round(exact) : Math.round(exact * 100) / 100;
  const beatSeconds = 60 / bpm;
  const barSeconds = 4 * beatSeconds;
  // Silence before the music: none, an encoder's, or a lead-in.
  const lead = r.pick([0, 1105 / CLUB_RATE, r.range(0, 0.1), r.range(0.1, 3)]);
  const cutBeats = r.chance(CUT_SHARE) ? r.int(1, 30) + r.pick([0, r.next()]) : 0;
  const start = cutBeats ? -cutBeats * beatSeconds : lead;
  const bars = Math.ceil((seconds - start) / barSeconds);
  const blocks = clubBlocks(bars, r);

  const length = Math.round(seconds * CLUB_RATE);
  const drums = new Float32Array(length);
  const music = new Float32Array(length);
  const duck = new Float32Array(length).fill(1);
  const put = (into: Float32Array, voice: Float32Array, time: number, gain: number) => {
    const from = Math.round(time * CLUB_RATE);
    for (let i = Math.max(0, -from); i < voice.length && from + i < length; i++)
      into[from + i] += gain * voice[i];
  };
  const timeOf = (bar: number, step: number) => {
    const late = Math.round(step) % 2 === 1 ? (groove.swing - 0.5) * 2 : 0;
    return start + bar * barSeconds + ((step + late) * beatSeconds) / 4;
  };

  // Sounds.
  const kick = kickDrum(groove.kickKind, r);
  const back = { clap: handClap, snare: snareDrum, rim: rimShot, none: rimShot }[groove.backKind](r);
  const closed = metalHat(r.range(0.03, 0.07), r);
  const open = metalHat(Math.min(0.3, beatSeconds * r.range(0.3, 0.6)), r);
  const shake = shaker(r);
  const hands = [handDrum(r), handDrum(r), rimShot(r)];
  const bassOf = bassSound(groove.bassKind, r);
  const pluckOf = pluckSound(r);
  const stabOf = chordSound(0.004, r);
  const padOf = chordSound(r.range(0.08, 0.8), r);
  const cymbal = crash(r);
  // A layer may sit a little off the grid on purpose; the kick is the grid.
  const push = { back: r.range(-0.006, 0.006), hats: r.range(-0.004, 0.006), hand: r.range(-0.008, 0.012) };
  const gain = {
    kick: r.range(0.7, 1),
    back: r.range(0.2, 0.55),
    closed: r.range(0.08, 0.3),
    open: r.range(0.1, 0.35),
    shaker: r.range(0.1, 0.3),
    hand: r.range(0.1, 0.35),
    bass: r.range(0.25, 0.7),
    pluck: r.range(0.1, 0.35),
    stab: r.range(0.1, 0.35),
    pad: r.range(0.06, 0.25),
    voice: r.range(0.1, 0.4),
  };
  const accents = Array.from({ length: 16 }, () => r.range(0.45, 1));
  const kickOnlyDuck = groove.duck;

  // Harmony.
  const scale = r.pick(SCALES);
  const tonic = 41.2 * 2 ** (r.int(0, 11) / 12);
  const hz = (degree: number, octave: number) =>
    tonic * 2 ** (octave + scale[((degree % 7) + 7) % 7] / 12 + Math.floor(degree / 7));
  const progression = r.pick(PROGRESSIONS);
  const barsPerChord = r.pick([1, 2, 2, 4]);
  const melody = Array.from({ length: 16 }, () => r.pick([0, 2, 4, 7, 1, 6]));
  const bassLine = Array.from({ length: 16 }, () => r.pick([0, 0, 0, 7, 4]));
  const syllables = Array.from({ length: 6 }, () => ({
    step: r.int(0, 31),
    late: r.range(-0.03, 0.05),
    sound: syllable(r.range(140, 420), r.range(0.15, 0.7), r),
  }));
  const cache = new Map<string, Float32Array>();
  const cached = (key: string, make: () => Float32Array) => {
    const known = cache.get(key);
    if (known) return known;
    const made = make();
    cache.set(key, made);
    return made;
  };

  let bar = 0;
  const muffledFrom: { time: number; amount: number }[] = [];
  blocks.forEach((block, index) => {
    muffledFrom.push({ time: timeOf(bar, 0), amount: block.muffled });
    const crashes = index > 0 && block.parts.has('kick') && r.chance(0.6);
    if (crashes) put(drums, cymbal, timeOf(bar, 0), r.range(0.1, 0.3));
    if (block.leads) {
      const lasts = Math.min(block.bars, r.pick([1, 2, 4])) * barSeconds;
      put(music, riser(lasts, r), timeOf(bar + block.bars, 0) - lasts, r.range(0.1, 0.3));
      if (r.chance(0.4)) {
        // A roll whose hits get closer.
        for (let n = 0; n < 16; n++) {
          const step = n < 4 ? n * 4 : n < 8 ? 16 + (n - 4) * 2 : 24 + (n - 8);
          put(drums, back, timeOf(bar + block.bars - 2, step), 0.2 + 0.02 * n);
        }
      }
    }
    for (let b = 0; b < block.bars; b++, bar++) {
      const at = (steps: Steps) => steps[bar % steps.length];
      const plays = (part: ClubPart) => block.parts.has(part);
      const fill = b === block.bars - 1 && r.chance(0.5);
      const degree = progression[Math.floor(bar / barsPerChord) % progression.length];
      const hit = (steps: Steps, voice: Float32Array, level: number, late: number, even = false) => {
        for (const step of at(steps))
          put(
            drums,
            voice,
            timeOf(bar, step) + late,
            level * (even ? 1 : accents[step]) * r.range(0.93, 1.05),
          );
      };
      if (plays('kick')) {
        for (const step of at(groove.kick)) {
          if (fill && step >= r.pick([8, 12, 16])) continue;
          const time = timeOf(bar, step);
          put(drums, kick, time, gain.kick * r.range(0.97, 1));
          const from = Math.round(time * CLUB_RATE);
          const n = Math.round(beatSeconds * 0.7 * CLUB_RATE);
          for (let i = Math.max(0, -from); i < n && from + i < length; i++)
            duck[from + i] = Math.min(duck[from + i], 1 - kickOnlyDuck * (1 - (i / n) ** 1.5));
        }
      }
      if (plays('back')) {
        if (groove.backKind !== 'none') hit(groove.back, back, gain.back, push.back, true);
        hit(groove.ghost, back, gain.back * 0.25, push.back);
        if (fill) hit([[13, 14, 15].filter(() => r.chance(0.7))], back, gain.back * 0.7, push.back);
      }
      if (plays('hats')) {
        hit(groove.closed, closed, gain.closed, push.hats);
        hit(groove.open, open, gain.open, push.hats, true);
      }
      if (plays('percussion')) {
        hit(groove.shaker, shake, gain.shaker, push.hats - 0.012);
        at(groove.hand).forEach((step, n) =>
          put(drums, hands[n % 3], timeOf(bar, step) + push.hand, gain.hand * accents[step]),
        );
      }
      if (plays('bass'))
        for (const step of at(groove.bass)) {
          const f = hz(degree + bassLine[step], groove.bassKind === 'sub' ? 0 : 1);
          const lasts = (groove.bassLength * beatSeconds) / 4;
          put(
            music,
            cached(`bass ${f}`, () => bassOf(f, lasts)),
            timeOf(bar, step),
            gain.bass,
          );
        }
      if (plays('pluck'))
        for (const step of at(groove.pluck)) {
          const f = hz(degree + melody[(step + 5 * (bar % 2)) % 16], 3);
          const note = cached(`pluck ${f}`, () => pluckOf(f, beatSeconds / 3));
          put(music, note, timeOf(bar, step), gain.pluck);
          // An echo, three sixteenths later.
          put(music, note, timeOf(bar, step) + 0.75 * beatSeconds, gain.pluck * 0.4);
        }
      if (plays('stab'))
        for (const step of at(groove.stab)) {
          const notes = [0, 2, 4, 6].map((n) => hz(degree + n, 3));
          put(
            music,
            cached(`stab ${degree}`, () => stabOf(notes, beatSeconds * 0.4)),
            timeOf(bar, step),
            gain.stab,
          );
        }
      if (plays('pad') && bar % barsPerChord === 0) {
        const notes = [0, 2, 4].map((n) => hz(degree + n, 2));
        put(
          music,
          cached(`pad ${degree}`, () => padOf(notes, barsPerChord * barSeconds)),
          timeOf(bar, 0),
          gain.pad,
        );
      }
      if (plays('voice') && bar % 2 === 0)
        for (const { step, late, sound } of syllables)
          put(music, sound, timeOf(bar, step) + late, gain.voice);
    }
  });

  const samples = master(drums, music, duck, muffledFrom, r);
  // What the lead-in leaves out, and the beats that are heard.
  const first = Math.max(0, Math.ceil((0 - start) / beatSeconds - 1e-9));
  const beats: number[] = [];
  for (let n = first; start + n * beatSeconds < seconds; n++) beats.push(start + n * beatSeconds);
  return { style, samples, sampleRate: CLUB_RATE, bpm, beats, beatsPerBar: 4, firstBeatInBar: first % 4 };
}

/** Mixes, muffles block by block, and finishes as records are: bounded bandwidth, soft limit, at times a noise floor. */
function master(
  drums: Float32Array,
  music: Float32Array,
  duck: Float32Array,
  muffled: { time: number; amount: number }[],
  r: Random,
): Float32Array {
  const low = new Filter('low');
  const lossy = new Filter('low');
  const floor = r.chance(0.2) ? 10 ** (r.range(-50, -18) / 20) : 0;
  const drive = r.range(0.8, 2.2);
  const top = r.pick([16000, 18000, 11000]);
  let at = 0;
  let amount = 0;
  return drums.map((drum, i) => {
    while (at < muffled.length && muffled[at].time * CLUB_RATE <= i) amount = muffled[at++].amount;
    let x = drum + music[i] * duck[i];
    if (amount > 0) x = low.run(x, 16000 * (1 - amount) ** 2 + 250);
    return 0.9 * Math.tanh(drive * lossy.run(x + floor * white(r), top)) * 0.8;
  });
}
