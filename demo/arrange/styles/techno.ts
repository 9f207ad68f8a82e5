import { bassNote } from '../../synth/bass.ts';
import { chord } from '../../synth/chord.ts';
import { filterInPlace } from '../../synth/filter.ts';
import { hat } from '../../synth/hat.ts';
import { kick } from '../../synth/kick.ts';
import { clap, snare } from '../../synth/snare.ts';
import { inRoom } from '../../synth/space.ts';
import { normalise, sides } from '../../synth/voice.ts';
import { chordNotes, stepNote } from '../harmony.ts';
import { drum, echo, pitched, steps, type Style } from '../style.ts';

const BLEEP = [0, 4, 0, 2, 7, 0, 4, 9];

/** A driven kick, a rumble in its shadow, metal, one note that will not stop. */
export const techno: Style = {
  desk: {
    kick: { bus: 'drums', gain: 1.05 },
    clap: { bus: 'drums', gain: 0.42 },
    hat: { bus: 'drums', gain: 0.5 },
    open: { bus: 'drums', gain: 0.7 },
    ride: { bus: 'drums', gain: 0.55 },
    rim: { bus: 'drums', gain: 0.32 },
    rumble: { bus: 'bass', gain: 0.3 },
    pulse: { bus: 'bass', gain: 0.26 },
    drone: { bus: 'music', gain: 0.3 },
    stab: { bus: 'music', gain: 0.36 },
    bleep: { bus: 'music', gain: 0.3 },
  },
  instruments(rate, random) {
    const thump = kick(
      rate,
      { startHz: 260, endHz: 46, pitchDecay: 0.016, decay: 0.115, click: 0.5, drive: 1.8 },
      random,
    );
    // The rumble is the kick's own room, heard through a low-pass.
    const rumble = inRoom(rate, thump, 1.1, 1.6);
    for (const side of sides(rumble)) {
      side.fill(0, 0, Math.round(0.03 * rate));
      filterInPlace(side, rate, 'low', 130, 1);
      filterInPlace(side, rate, 'high', 35);
    }
    normalise(rumble);
    return {
      kick: drum(thump),
      clap: drum(
        inRoom(rate, clap(rate, { hands: 2, spread: 0.008, decay: 0.05, centreHz: 1700 }, random), 1.2, 0.5),
      ),
      hat: drum(...[0, 1].map(() => hat(rate, { decay: 0.016, floorHz: 9000, metal: 0.5 }, random))),
      open: drum(hat(rate, { decay: 0.07, floorHz: 7000, metal: 0.6 }, random)),
      ride: drum(hat(rate, { decay: 0.22, floorHz: 4500, metal: 0.9 }, random)),
      rim: drum(
        inRoom(
          rate,
          snare(
            rate,
            { toneHz: 520, toneDecay: 0.018, noiseDecay: 0.02, wires: 0.3, brightHz: 3000 },
            random,
          ),
          0.8,
          0.4,
        ),
      ),
      rumble: drum(rumble),
      pulse: pitched(([note], seconds) =>
        bassNote(rate, { kind: 'reese', cutoffHz: 180, openHz: 350, decay: 0.06 }, note, seconds, random),
      ),
      drone: pitched((notes, seconds) =>
        chord(
          rate,
          {
            kind: 'pulse',
            attack: 1.2,
            release: 0.8,
            decay: Infinity,
            cutoffHz: 420,
            openHz: 300,
            openDecay: 2,
            cents: 8,
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
              kind: 'saw',
              attack: 0.002,
              release: 0.1,
              decay: 0.12,
              cutoffHz: 500,
              openHz: 2600,
              openDecay: 0.07,
              cents: 6,
            },
            notes,
            seconds,
            random,
          ),
          2.2,
          0.5,
        ),
      ),
      bleep: pitched((notes, seconds) =>
        chord(
          rate,
          {
            kind: 'pulse',
            attack: 0.002,
            release: 0.05,
            decay: 0.1,
            cutoffHz: 900,
            openHz: 3200,
            openDecay: 0.05,
            cents: 5,
          },
          notes,
          seconds,
          random,
        ),
      ),
    };
  },
  bars: {
    // Every 16 bars the kick takes half a bar off.
    kick: ({ bar }) => steps('kick', bar % 16 === 15 ? 'X... X... .... ....' : 'X... X... X... X...'),
    snare: () => steps('clap', '.... X... .... X...'),
    hat: ({ phraseBar }) =>
      steps('hat', phraseBar % 4 === 3 ? 'ooxo ooxo ooxo xxXx' : 'ooxo ooxo ooxo ooxo', { pan: 0.15 }),
    open: () => steps('open', '..X. ..X. ..X. ..X.'),
    ride: () => steps('ride', 'x.X. x.X. x.X. x.X.', { pan: -0.2 }),
    perc: ({ phraseBar }) => [
      ...steps('rim', ['...x ..x. .x.. x...', '...x ..x. .x.. x.ox'][phraseBar % 2], { pan: 0.45 }),
    ],
    bass({ key, step, bar, phraseBar }) {
      const root = stepNote(key, step, 30);
      const line = steps('pulse', phraseBar % 4 === 3 ? '.xXx .xXx .xXx .XXX' : '.xXx .xXx .xXx .xXx', {
        length: 0.21,
        notes: [root],
      });
      return [...steps('rumble', bar % 16 === 15 ? 'x... x... .... ....' : 'x... x... x... x...'), ...line];
    },
    pad: ({ key, step, phraseBar }) =>
      phraseBar % 2 === 0
        ? [{ instrument: 'drone', beat: 0, gain: 1, length: 7.5, notes: chordNotes(key, step, 2, 42) }]
        : [],
    stab({ key, step, phraseBar }) {
      const notes = chordNotes(key, step, 3, 54);
      const beats = phraseBar % 4 === 1 ? [0.75, 2.5] : phraseBar % 4 === 3 ? [1.5] : [0.75];
      return echo(
        beats.map((beat) => ({ instrument: 'stab', beat, gain: 0.9, length: 0.2, notes })),
        0.75,
        0.5,
        4,
      );
    },
    lead: ({ key, bar, barInSection, barsInSection }) =>
      Array.from({ length: 16 }, (_, i) => {
        const up = BLEEP[(i * 3 + bar) % BLEEP.length];
        const swell = 0.45 + 0.55 * ((barInSection + i / 16) / barsInSection);
        return {
          instrument: 'bleep',
          beat: i / 4,
          gain: swell * (i % 3 === 0 ? 1 : 0.6),
          pan: i % 2 ? 0.4 : -0.4,
          length: 0.15,
          notes: [stepNote(key, up, 66)],
        };
      }),
  },
  duck: { depth: { bass: 0.85, music: 0.55, effects: 0.4 }, release: 0.7 },
  looseness: 0,
};
