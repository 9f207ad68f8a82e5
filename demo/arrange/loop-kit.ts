/** The sounds of a test loop, varied by its seed. */
import { bassNote, type BassShape } from '../synth/bass.ts';
import { chord, type ChordShape } from '../synth/chord.ts';
import { hat } from '../synth/hat.ts';
import { kick } from '../synth/kick.ts';
import { between, pick, type Random } from '../synth/prng.ts';
import { clap, snare } from '../synth/snare.ts';
import type { Voice } from '../synth/voice.ts';
import { chordNotes, stepNote, type Key } from './harmony.ts';
import type { LoopHit, LoopPart, LoopStyle } from './loops.ts';

const BASS_FLOOR = 31;
const CHORD_FLOOR = 55;

/** Gives the one-shot for a hit; `step` is the chord's scale step and `beat` the duration of a beat, s. */
export type LoopKit = (hit: LoopHit, step: number, beat: number) => Voice;

export function makeLoopKit(style: LoopStyle, key: Key, rate: number, random: Random): LoopKit {
  const tight = style === 'techno' || style === 'house';
  const drums: Partial<Record<LoopPart, Voice>> = {
    kick: kick(
      rate,
      {
        startHz: between(random, 130, 260),
        endHz: between(random, 44, 56),
        pitchDecay: between(random, 0.012, 0.035),
        decay: tight ? between(random, 0.12, 0.2) : between(random, 0.09, 0.16),
        click: between(random, 0.1, 0.5),
        drive: between(random, 1, 2.2),
      },
      random,
    ),
    snare: tight
      ? clap(
          rate,
          {
            hands: pick(random, [2, 3]),
            spread: 0.009,
            decay: between(random, 0.05, 0.09),
            centreHz: between(random, 1100, 1800),
          },
          random,
        )
      : snare(
          rate,
          {
            toneHz: between(random, 170, 230),
            toneDecay: 0.06,
            noiseDecay: between(random, 0.06, 0.12),
            wires: between(random, 0.4, 0.75),
            brightHz: between(random, 2500, 5000),
          },
          random,
        ),
    hat: hat(rate, { decay: between(random, 0.015, 0.03), floorHz: 7000, metal: random() * 0.6 }, random),
    open: hat(rate, { decay: between(random, 0.06, 0.11), floorHz: 6000, metal: random() * 0.6 }, random),
    ghost: snare(
      rate,
      { toneHz: 320, toneDecay: 0.03, noiseDecay: 0.03, wires: 0.5, brightHz: 4000 },
      random,
    ),
    crash: hat(rate, { decay: 0.5, floorHz: 3500, metal: 0.4 }, random),
  };
  const bassShape: BassShape = {
    kind: pick(random, ['round', 'reese', 'sub', 'fingers'] as const),
    cutoffHz: between(random, 120, 300),
    openHz: between(random, 200, 900),
    decay: between(random, 0.05, 0.2),
  };
  const chordShape: ChordShape = {
    kind: pick(random, ['saw', 'pulse', 'organ', 'keys'] as const),
    attack: pick(random, [0.004, 0.004, 0.05]),
    release: between(random, 0.05, 0.3),
    decay: between(random, 0.2, 1),
    cutoffHz: between(random, 500, 1500),
    openHz: between(random, 500, 3000),
    openDecay: between(random, 0.05, 0.3),
    cents: between(random, 3, 12),
  };
  const notes = new Map<string, Voice>();
  return (hit, step, beat) => {
    const ready = drums[hit.part];
    if (ready) return ready;
    const seconds = (hit.length ?? 1) * beat;
    const name = `${hit.part} ${step} ${seconds.toFixed(2)}`;
    let voice = notes.get(name);
    if (!voice) {
      voice =
        hit.part === 'bass'
          ? bassNote(rate, bassShape, stepNote(key, step, BASS_FLOOR), seconds, random)
          : chord(rate, chordShape, chordNotes(key, step, 3, CHORD_FLOOR), seconds, random);
      notes.set(name, voice);
    }
    return voice;
  };
}
