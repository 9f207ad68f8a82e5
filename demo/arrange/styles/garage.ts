import { bassNote } from '../../synth/bass.ts';
import { chord } from '../../synth/chord.ts';
import { hat } from '../../synth/hat.ts';
import { kick } from '../../synth/kick.ts';
import { pick } from '../../synth/prng.ts';
import { clap, snare } from '../../synth/snare.ts';
import { inRoom } from '../../synth/space.ts';
import { vox } from '../../synth/vox.ts';
import { chordNotes, stepNote } from '../harmony.ts';
import { drum, echo, pitched, steps, type Hit, type Style } from '../style.ts';

/** A kick that skips, shuffled hats, chopped singing and a bass that leaves holes. */
export const garage: Style = {
  desk: {
    kick: { bus: 'drums', gain: 1 },
    snare: { bus: 'drums', gain: 0.8 },
    rim: { bus: 'drums', gain: 0.4 },
    hat: { bus: 'drums', gain: 0.62 },
    open: { bus: 'drums', gain: 0.6 },
    shaker: { bus: 'drums', gain: 0.4 },
    bass: { bus: 'bass', gain: 0.42 },
    pad: { bus: 'music', gain: 0.34 },
    keys: { bus: 'music', gain: 0.4 },
    ah: { bus: 'music', gain: 0.42 },
    oh: { bus: 'music', gain: 0.42 },
  },
  instruments(rate, random) {
    const layered = inRoom(
      rate,
      clap(rate, { hands: 2, spread: 0.007, decay: 0.07, centreHz: 1900 }, random),
      0.35,
      0.3,
    );
    return {
      kick: drum(
        kick(
          rate,
          { startHz: 170, endHz: 54, pitchDecay: 0.018, decay: 0.1, click: 0.4, drive: 1.3 },
          random,
        ),
      ),
      snare: drum(layered),
      rim: drum(
        snare(rate, { toneHz: 480, toneDecay: 0.02, noiseDecay: 0.015, wires: 0.25, brightHz: 3500 }, random),
      ),
      hat: drum(...[0, 1, 2, 3].map(() => hat(rate, { decay: 0.018, floorHz: 8500, metal: 0.3 }, random))),
      open: drum(hat(rate, { decay: 0.1, floorHz: 6000, metal: 0.3 }, random)),
      shaker: drum(hat(rate, { decay: 0.03, floorHz: 5500, metal: 0, attack: 0.012 }, random)),
      bass: pitched(([note], seconds) =>
        bassNote(
          rate,
          { kind: 'sub', cutoffHz: 240, openHz: 420, decay: 0.12, swayHz: 4.33 },
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
            attack: 0.4,
            release: 0.5,
            decay: Infinity,
            cutoffHz: 800,
            openHz: 200,
            openDecay: 1,
            cents: 14,
          },
          notes,
          seconds,
          random,
        ),
      ),
      keys: pitched((notes, seconds) =>
        inRoom(
          rate,
          chord(
            rate,
            {
              kind: 'keys',
              attack: 0.003,
              release: 0.08,
              decay: 0.35,
              cutoffHz: 4000,
              openHz: 1500,
              openDecay: 0.1,
              cents: 5,
            },
            notes,
            seconds,
            random,
          ),
          0.6,
          0.25,
        ),
      ),
      ah: pitched(([note], seconds) => inRoom(rate, vox(rate, 'ah', note, seconds), 1.1, 0.4)),
      oh: pitched(([note], seconds) => inRoom(rate, vox(rate, 'oh', note, seconds), 1.1, 0.4)),
    };
  },
  bars: {
    kick: ({ phraseBar }) =>
      steps('kick', ['X... .... ..X. ....', 'X... .... ...X ..x.'][phraseBar % 4 === 3 ? 1 : 0]),
    snare: ({ phraseBar }) => [
      ...steps('snare', '.... X... .... X...'),
      ...(phraseBar === 7 ? steps('rim', '.... ...x .o.x .xxX') : []),
    ],
    hat: ({ random }) =>
      steps('hat', 'x.xo x.xx o.xo x.xx', { pan: 0.2 }).filter((hit) => hit.gain > 0.5 || random() < 0.8),
    open: () => steps('open', '..x. .... ..x. ..o.', { pan: -0.2 }),
    perc: ({ phraseBar }) => [
      ...steps('rim', phraseBar % 2 ? '...o .... .x.. ...o' : '...o ...x .... ....', { pan: -0.45 }),
      ...steps('shaker', 'oxox oxox oxox oxox', { pan: 0.5 }),
    ],
    bass({ key, step, phraseBar }) {
      const root = stepNote(key, step, 29);
      const line: [number, number, number][] =
        phraseBar % 2 === 0
          ? [
              [0, 0, 0.7],
              [1.75, 0, 0.2],
              [2.5, 12, 0.9],
            ]
          : [
              [0, 0, 0.4],
              [0.75, 7, 0.2],
              [1.5, 0, 1.2],
              [3.25, 3, 0.6],
            ];
      return line.map(([beat, up, length]) => ({
        instrument: 'bass',
        beat,
        gain: 1,
        length,
        notes: [root + up],
      }));
    },
    pad: ({ key, step }) => [
      { instrument: 'pad', beat: 0, gain: 1, length: 3.8, notes: chordNotes(key, step, 4, 55) },
    ],
    stab({ key, step, phraseBar }) {
      const notes = chordNotes(key, step, 4, 58);
      const beats = phraseBar % 2 ? [0.5, 1.25, 2.75] : [0.25, 1.75, 3.5];
      return beats.map((beat) => ({ instrument: 'keys', beat, gain: 0.9, length: 0.22, notes }));
    },
    lead({ key, step, phraseBar, random }) {
      const shapes: [number, number][][] = [
        [
          [0.5, 4],
          [0.75, 4],
          [1.5, 2],
        ],
        [
          [2.25, 0],
          [2.75, 2],
          [3.5, 4],
        ],
        [],
        [
          [0, 2],
          [0.75, 1],
        ],
      ];
      const hits: Hit[] = shapes[phraseBar % 4].map(([beat, up]) => ({
        instrument: pick(random, ['ah', 'ah', 'oh']),
        beat,
        gain: 0.9,
        length: 0.35,
        notes: [stepNote(key, step + up, 62)],
      }));
      return echo(hits, 1.5, 0.3, 1);
    },
  },
  duck: { depth: { bass: 0.35, music: 0.35 }, release: 0.5 },
  looseness: 0.0015,
};
