import { bassNote } from '../../synth/bass.ts';
import { chord } from '../../synth/chord.ts';
import { hat } from '../../synth/hat.ts';
import { kick } from '../../synth/kick.ts';
import { clap } from '../../synth/snare.ts';
import { inRoom } from '../../synth/space.ts';
import { chordNotes, stepNote } from '../harmony.ts';
import { drum, echo, pitched, steps, type Hit, type Style } from '../style.ts';

/** Four to the floor, off-beat hats, organ stabs, pads that pump. */
export const house: Style = {
  desk: {
    kick: { bus: 'drums', gain: 1 },
    clap: { bus: 'drums', gain: 0.62 },
    hat: { bus: 'drums', gain: 0.5 },
    open: { bus: 'drums', gain: 0.62 },
    ride: { bus: 'drums', gain: 0.4 },
    low: { bus: 'drums', gain: 0.3 },
    high: { bus: 'drums', gain: 0.26 },
    bass: { bus: 'bass', gain: 0.42 },
    pad: { bus: 'music', gain: 0.3 },
    organ: { bus: 'music', gain: 0.34 },
    keys: { bus: 'music', gain: 0.36 },
  },
  instruments(rate, random) {
    const conga = (hz: number) =>
      kick(
        rate,
        { startHz: hz * 1.5, endHz: hz, pitchDecay: 0.01, decay: 0.07, click: 0.25, drive: 1 },
        random,
      );
    const claps = [0, 1].map(() =>
      inRoom(rate, clap(rate, { hands: 3, spread: 0.01, decay: 0.06, centreHz: 1300 }, random), 0.5, 0.35),
    );
    const hats = [0, 1, 2].map(() => hat(rate, { decay: 0.022, floorHz: 8000, metal: 0.2 }, random));
    return {
      kick: drum(
        kick(
          rate,
          { startHz: 190, endHz: 49, pitchDecay: 0.022, decay: 0.115, click: 0.4, drive: 1.3 },
          random,
        ),
      ),
      clap: drum(...claps),
      hat: drum(...hats),
      open: drum(hat(rate, { decay: 0.085, floorHz: 6500, metal: 0.4 }, random)),
      ride: drum(hat(rate, { decay: 0.16, floorHz: 5000, metal: 0.8 }, random)),
      low: drum(conga(190)),
      high: drum(conga(285)),
      bass: pitched(([note], seconds) =>
        bassNote(rate, { kind: 'round', cutoffHz: 160, openHz: 700, decay: 0.09 }, note, seconds, random),
      ),
      pad: pitched((notes, seconds) =>
        chord(
          rate,
          {
            kind: 'saw',
            attack: 0.25,
            release: 0.4,
            decay: Infinity,
            cutoffHz: 2200,
            openHz: 1500,
            openDecay: 1.5,
            cents: 11,
          },
          notes,
          seconds,
          random,
        ),
      ),
      organ: pitched((notes, seconds) =>
        inRoom(
          rate,
          chord(
            rate,
            {
              kind: 'organ',
              attack: 0.004,
              release: 0.06,
              decay: 0.4,
              cutoffHz: 3000,
              openHz: 4000,
              openDecay: 0.08,
              cents: 3,
            },
            notes,
            seconds,
            random,
          ),
          0.9,
          0.3,
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
              release: 0.3,
              decay: 0.9,
              cutoffHz: 3500,
              openHz: 2000,
              openDecay: 0.2,
              cents: 4,
            },
            notes,
            seconds,
            random,
          ),
          1.6,
          0.4,
        ),
      ),
    };
  },
  bars: {
    kick: ({ bar, phraseBar }) =>
      steps(
        'kick',
        bar % 16 === 15
          ? 'X... X... .... ....'
          : phraseBar === 7
            ? 'X... X... X... X.x.'
            : 'X... X... X... X...',
      ),
    snare: ({ phraseBar }) => [
      ...steps('clap', '.... X... .... X...'),
      ...(phraseBar === 7 ? steps('clap', '.... .... .... ..ox') : []),
    ],
    hat: () => steps('hat', 'oxox oxox oxox oxox', { pan: 0.25 }),
    open: () => steps('open', '..X. ..X. ..X. ..X.', { pan: -0.1 }),
    ride: () => steps('ride', 'X.x. X.x. X.x. X.x.', { pan: -0.3 }),
    perc: ({ phraseBar }) => [
      ...steps('low', phraseBar % 2 ? '..o. .x.. ..o. .xx.' : '..o. .x.. .o.. x...', { pan: -0.35 }),
      ...steps('high', '.o.. ..x. .... o.x.', { pan: 0.4 }),
    ],
    bass({ key, step, phraseBar }) {
      const root = stepNote(key, step, 33);
      const line: [number, number, number][] =
        phraseBar % 4 === 3
          ? [
              [0.5, 0, 0.4],
              [1.25, 0, 0.3],
              [1.75, 12, 0.2],
              [2.5, 0, 0.4],
              [3, 7, 0.4],
              [3.5, 10, 0.4],
            ]
          : [
              [0.5, 0, 0.4],
              [1.25, 0, 0.3],
              [1.75, 12, 0.2],
              [2.5, 0, 0.4],
              [3.5, 0, 0.3],
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
      { instrument: 'pad', beat: 0, gain: 1, length: 3.9, notes: chordNotes(key, step, 4, 57) },
    ],
    stab({ key, step, phraseBar }) {
      const notes = chordNotes(key, step, 4, 60);
      const beats = phraseBar % 2 ? [0.75, 1.5, 3.25] : [0.75, 2.25];
      return beats.map((beat) => ({ instrument: 'organ', beat, gain: 0.9, length: 0.3, notes }));
    },
    lead({ key, step, phraseBar }) {
      const tune: [number, number][] = phraseBar % 2 ? [[0, 4], [1.5, 2], [2.75, 1]] : [[0.5, 0], [1.25, 2], [2, 4], [3.5, 6]]; // prettier-ignore
      const hits: Hit[] = tune.map(([beat, up]) => ({
        instrument: 'keys',
        beat,
        gain: 0.9,
        length: 0.5,
        notes: [stepNote(key, step + up, 69)],
      }));
      return echo(hits, 0.75, 0.45, 3);
    },
  },
  duck: { depth: { bass: 0.55, music: 0.75, effects: 0.3 }, release: 0.8 },
  looseness: 0,
};
