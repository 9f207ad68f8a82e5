import { bassNote } from '../../synth/bass.ts';
import { chord } from '../../synth/chord.ts';
import { hat } from '../../synth/hat.ts';
import { kick } from '../../synth/kick.ts';
import { snare } from '../../synth/snare.ts';
import { inRoom } from '../../synth/space.ts';
import { chordNotes, stepNote } from '../harmony.ts';
import { drum, echo, pitched, steps, type Hit, type Style } from '../style.ts';

/** Bars of the break: kick on one and the and of three, snare on two and four, and its variations. */
const KICKS = ['X... .... ..X. ....', 'X... .... ..X. ....', 'X.X. .... ..X. ....', 'X... ..x. ..X. ....'];
const GHOSTS = ['.... ...o .o.. ...o', '.... ...o .... ..oo', '.... ..oo .o.. ....', '...o ...o .o.. .oxX'];

/** A fast break over long sub notes, wide pads before and between. */
export const breakbeat: Style = {
  desk: {
    kick: { bus: 'drums', gain: 1 },
    snare: { bus: 'drums', gain: 0.95 },
    ghost: { bus: 'drums', gain: 0.5 },
    hat: { bus: 'drums', gain: 0.5 },
    open: { bus: 'drums', gain: 0.5 },
    ride: { bus: 'drums', gain: 0.42 },
    shaker: { bus: 'drums', gain: 0.4 },
    sub: { bus: 'bass', gain: 0.38 },
    reese: { bus: 'bass', gain: 0.3 },
    pad: { bus: 'music', gain: 0.42 },
    stab: { bus: 'music', gain: 0.3 },
    bell: { bus: 'music', gain: 0.34 },
  },
  instruments(rate, random) {
    const room = (shape: Parameters<typeof snare>[1]) => inRoom(rate, snare(rate, shape, random), 0.4, 0.25);
    return {
      kick: drum(
        kick(
          rate,
          { startHz: 210, endHz: 58, pitchDecay: 0.012, decay: 0.085, click: 0.5, drive: 1.8 },
          random,
        ),
      ),
      snare: drum(
        ...[0, 1].map(() =>
          room({ toneHz: 205, toneDecay: 0.06, noiseDecay: 0.085, wires: 0.62, brightHz: 4200 }),
        ),
      ),
      ghost: drum(
        ...[0, 1].map(() =>
          room({ toneHz: 230, toneDecay: 0.03, noiseDecay: 0.035, wires: 0.6, brightHz: 4600 }),
        ),
      ),
      hat: drum(...[0, 1, 2].map(() => hat(rate, { decay: 0.02, floorHz: 7500, metal: 0.4 }, random))),
      open: drum(hat(rate, { decay: 0.08, floorHz: 6000, metal: 0.5 }, random)),
      ride: drum(hat(rate, { decay: 0.2, floorHz: 5200, metal: 0.85 }, random)),
      shaker: drum(hat(rate, { decay: 0.02, floorHz: 6000, metal: 0, attack: 0.008 }, random)),
      sub: pitched(([note], seconds) =>
        bassNote(rate, { kind: 'sub', cutoffHz: 150, openHz: 60, decay: 0.2 }, note, seconds, random),
      ),
      reese: pitched(([note], seconds) =>
        bassNote(
          rate,
          { kind: 'reese', cutoffHz: 220, openHz: 900, decay: 0.3, swayHz: 1.45 },
          note,
          seconds,
          random,
        ),
      ),
      pad: pitched((notes, seconds) =>
        chord(
          rate,
          {
            kind: 'saw',
            attack: 1.1,
            release: 1.4,
            decay: Infinity,
            cutoffHz: 900,
            openHz: 500,
            openDecay: 3,
            cents: 16,
          },
          notes,
          seconds,
          random,
        ),
      ),
      stab: pitched((notes, seconds) =>
        inRoom(
          rate,
          chord(
            rate,
            {
              kind: 'pulse',
              attack: 0.003,
              release: 0.15,
              decay: 0.25,
              cutoffHz: 700,
              openHz: 2400,
              openDecay: 0.12,
              cents: 9,
            },
            notes,
            seconds,
            random,
          ),
          1.8,
          0.5,
        ),
      ),
      bell: pitched((notes, seconds) =>
        inRoom(
          rate,
          chord(
            rate,
            {
              kind: 'keys',
              attack: 0.002,
              release: 0.8,
              decay: 0.7,
              cutoffHz: 5000,
              openHz: 3000,
              openDecay: 0.2,
              cents: 4,
            },
            notes,
            seconds,
            random,
          ),
          2.4,
          0.5,
        ),
      ),
    };
  },
  bars: {
    kick: ({ phraseBar }) => steps('kick', KICKS[phraseBar % 4]),
    snare: ({ phraseBar }) => [
      ...steps('snare', '.... X... .... X...'),
      ...steps('ghost', GHOSTS[phraseBar === 7 ? 3 : phraseBar % 3]),
    ],
    hat: ({ phraseBar }) =>
      steps('hat', phraseBar % 2 ? 'X.x. X.xo X.x. X.xo' : 'X.x. X.x. X.xo X.x.', { pan: 0.2 }),
    open: ({ phraseBar }) => steps('open', phraseBar % 2 ? '.... ..x. .... ..x.' : '.... ..x. .... ....'),
    ride: () => steps('ride', 'X.x. X.x. X.x. X.x.', { pan: -0.3 }),
    perc: () => steps('shaker', 'ooxo ooxo ooxo ooxo', { pan: -0.4 }),
    bass({ key, step, phraseBar, label }) {
      const root = stepNote(key, step, 31);
      const sub = (beat: number, up: number, length: number): Hit[] => [
        { instrument: 'sub', beat, gain: 1, length, notes: [root + up] },
        ...(label === 'drop'
          ? [{ instrument: 'reese', beat, gain: 0.8, length, notes: [root + up + 12] }]
          : []),
      ];
      return phraseBar % 2
        ? [...sub(0, 0, 1.4), ...sub(1.5, 3, 0.9), ...sub(2.5, 0, 1.4)]
        : [...sub(0, 0, 2.4), ...sub(2.5, 0, 1.3)];
    },
    pad: ({ key, step, phraseBar }) =>
      phraseBar % 2 === 0
        ? [{ instrument: 'pad', beat: 0, gain: 1, length: 7.6, notes: chordNotes(key, step, 4, 53) }]
        : [],
    stab({ key, step, phraseBar }) {
      const notes = chordNotes(key, step, 3, 58);
      const beats = phraseBar % 4 === 2 ? [0, 1.5] : phraseBar % 4 === 0 ? [1.5] : [];
      return echo(
        beats.map((beat) => ({ instrument: 'stab', beat, gain: 0.9, length: 0.3, notes })),
        1.5,
        0.45,
        2,
      );
    },
    lead({ key, step, phraseBar }) {
      const tune = [[0, 4, 2], [2, 0], [4, 5, 4], [2]][phraseBar % 4];
      const hits: Hit[] = tune.map((up, i) => ({
        instrument: 'bell',
        beat: i * 1.5,
        gain: 0.8,
        length: 1,
        notes: [stepNote(key, step + up, 72)],
      }));
      return echo(hits, 1, 0.4, 3);
    },
  },
  duck: { depth: { bass: 0.4, music: 0.45, effects: 0.3 }, release: 0.6 },
  looseness: 0.001,
};
