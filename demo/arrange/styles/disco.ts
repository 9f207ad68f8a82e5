import { bassNote } from '../../synth/bass.ts';
import { chord } from '../../synth/chord.ts';
import { hat } from '../../synth/hat.ts';
import { kick } from '../../synth/kick.ts';
import { strum } from '../../synth/pluck.ts';
import { clap, snare } from '../../synth/snare.ts';
import { inRoom } from '../../synth/space.ts';
import { chordNotes, stepNote } from '../harmony.ts';
import { drum, pitched, steps, type Hit, type Style } from '../style.ts';

/** A live band: octave bass, open hats on the off-beat, strummed guitar, strings, toms, no click. */
export const disco: Style = {
  desk: {
    kick: { bus: 'drums', gain: 0.9 },
    snare: { bus: 'drums', gain: 0.68 },
    hat: { bus: 'drums', gain: 0.5 },
    open: { bus: 'drums', gain: 0.6 },
    ride: { bus: 'drums', gain: 0.42 },
    stick: { bus: 'drums', gain: 0.4 },
    low: { bus: 'drums', gain: 0.34 },
    high: { bus: 'drums', gain: 0.3 },
    tom: { bus: 'drums', gain: 0.5 },
    hands: { bus: 'drums', gain: 0.3 },
    bass: { bus: 'bass', gain: 0.5 },
    strings: { bus: 'music', gain: 0.36 },
    guitar: { bus: 'music', gain: 0.42 },
    keys: { bus: 'music', gain: 0.3 },
  },
  instruments(rate, random) {
    const skin = (hz: number, decay: number) =>
      inRoom(
        rate,
        kick(rate, { startHz: hz * 1.4, endHz: hz, pitchDecay: 0.02, decay, click: 0.3, drive: 1 }, random),
        0.4,
        0.25,
      );
    return {
      kick: drum(
        kick(
          rate,
          { startHz: 120, endHz: 62, pitchDecay: 0.012, decay: 0.075, click: 0.55, drive: 1 },
          random,
        ),
      ),
      snare: drum(
        ...[0, 1, 2].map(() =>
          inRoom(
            rate,
            snare(
              rate,
              { toneHz: 185, toneDecay: 0.07, noiseDecay: 0.1, wires: 0.55, brightHz: 3200 },
              random,
            ),
            0.5,
            0.3,
          ),
        ),
      ),
      hat: drum(...[0, 1, 2, 3].map(() => hat(rate, { decay: 0.025, floorHz: 6500, metal: 0.6 }, random))),
      open: drum(...[0, 1].map(() => hat(rate, { decay: 0.11, floorHz: 5000, metal: 0.6 }, random))),
      ride: drum(hat(rate, { decay: 0.25, floorHz: 4000, metal: 0.8 }, random)),
      stick: drum(
        snare(rate, { toneHz: 1150, toneDecay: 0.02, noiseDecay: 0.01, wires: 0.2, brightHz: 5000 }, random),
      ),
      low: drum(skin(200, 0.08)),
      high: drum(skin(310, 0.06)),
      tom: drum(skin(150, 0.13), skin(118, 0.15), skin(92, 0.17)),
      hands: drum(clap(rate, { hands: 4, spread: 0.008, decay: 0.045, centreHz: 1500 }, random)),
      bass: pitched(([note], seconds) =>
        bassNote(rate, { kind: 'fingers', cutoffHz: 260, openHz: 900, decay: 0.1 }, note, seconds, random),
      ),
      strings: pitched((notes, seconds) =>
        inRoom(
          rate,
          chord(
            rate,
            {
              kind: 'saw',
              attack: 0.09,
              release: 0.25,
              decay: Infinity,
              cutoffHz: 2600,
              openHz: 1200,
              openDecay: 0.6,
              cents: 9,
            },
            notes,
            seconds,
            random,
          ),
          1.2,
          0.35,
        ),
      ),
      guitar: pitched((notes, seconds) => strum(rate, notes, seconds, 0.985, random)),
      keys: pitched((notes, seconds) =>
        chord(
          rate,
          {
            kind: 'keys',
            attack: 0.003,
            release: 0.2,
            decay: 0.7,
            cutoffHz: 3000,
            openHz: 2500,
            openDecay: 0.15,
            cents: 4,
          },
          notes,
          seconds,
          random,
        ),
      ),
    };
  },
  bars: {
    kick: () => steps('kick', 'X... X... X... X...'),
    snare: ({ phraseBar }) => [
      ...steps('snare', '.... X... .... X...'),
      ...(phraseBar === 7 ? steps('tom', '.... .... ..x. .xXX', { pan: 0.2 }) : []),
    ],
    hat: () => steps('hat', 'x.oo x.oo x.oo x.oo', { pan: 0.3 }),
    open: () => steps('open', '..X. ..X. ..X. ..X.', { pan: 0.3 }),
    ride: () => steps('ride', 'X.x. X.x. X.x. X.x.', { pan: -0.35 }),
    perc: ({ phraseBar }) => [
      ...steps('low', phraseBar % 2 ? 'x..x ..x. ..x. x...' : 'x..x ..x. x... ..xx', { pan: -0.4 }),
      ...steps('high', '..x. x..x ...x .x..', { pan: -0.2 }),
      ...steps('hands', '.... o... .... o...', { pan: 0.1 }),
    ],
    bass({ key, step, phraseBar }) {
      const root = stepNote(key, step, 34);
      const walk = phraseBar % 4 === 3 ? [0, 12, 0, 12, 4, 5, 7, 9] : [0, 12, 0, 12, 0, 12, 7, 12];
      return walk.map((up, i) => ({
        instrument: 'bass',
        beat: i / 2,
        gain: i % 2 ? 0.8 : 1,
        length: i % 2 ? 0.3 : 0.42,
        notes: [root + up],
      }));
    },
    pad({ key, step, phraseBar }) {
      const notes = chordNotes(key, step, 3, 67);
      const hits: Hit[] =
        phraseBar % 4 === 3
          ? [
              { instrument: 'strings', beat: 0, gain: 1, length: 1.4, notes },
              {
                instrument: 'strings',
                beat: 1.5,
                gain: 1,
                length: 1.4,
                notes: chordNotes(key, step + 1, 3, 67),
              },
              { instrument: 'strings', beat: 3, gain: 0.9, length: 0.8, notes },
            ]
          : [{ instrument: 'strings', beat: 0, gain: 0.9, length: 3.7, notes }];
      return hits;
    },
    stab({ key, step }) {
      const notes = chordNotes(key, step, 4, 55);
      return steps('guitar', 'x.ox .xo. x.ox .xox', { length: 0.24, notes, pan: -0.5 });
    },
    lead({ key, step, phraseBar }) {
      const notes = chordNotes(key, step, 4, 60);
      const high = stepNote(key, step + (phraseBar % 2 ? 4 : 2), 72);
      return [
        { instrument: 'keys', beat: 0, gain: 0.8, length: 1.2, notes },
        { instrument: 'keys', beat: 1.5, gain: 0.7, length: 0.4, notes },
        { instrument: 'keys', beat: 2.5, gain: 0.8, length: 0.8, notes: [high], pan: 0.3 },
      ];
    },
  },
  duck: { depth: { bass: 0.15 }, release: 0.4 },
  looseness: 0.006,
};
