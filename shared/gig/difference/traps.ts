/**
 * What a difference in each fact means, how likely it is to catch somebody out, and what trains it. The type makes a
 * fact without an entry a compile error. All likelihoods are estimates: highest where the same press does another
 * thing, then where a thing one relies on is not there, then where it takes longer, then where it looks other.
 */
import { choiceWords } from '../../profile/words.ts';
import { list, number, plural } from '../../text.ts';
import { inBeats } from '../text.ts';
import { displayTraps } from './traps-display.ts';
import { amount, BETTER, feature, NEW, type Traps, without } from './trap.ts';

const all = (beats: readonly number[]): string => list(beats.map(inBeats));
const PHASE = ['none', 'four-blocks', 'bar-beat-ticks', 'stacked-waveforms'];

export const traps: Traps = {
  ...displayTraps,
  phase: {
    readout: {
      likely: (from, to) => (PHASE.indexOf(to) < PHASE.indexOf(from) ? (to === 'none' ? 66 : 48) : BETTER),
      drills: ['phase-compare'],
      words: (from, to) =>
        to === 'none'
          ? 'Nothing shows the beat of the other deck: match by ear.'
          : from === 'none'
            ? `The beat of the other deck is shown: ${choiceWords[to].toLowerCase()}.`
            : `The beat of the other deck is shown otherwise: ${choiceWords[to].toLowerCase()}, not ${choiceWords[from].toLowerCase()}.`,
    },
  },
  hotCues: {
    slots: {
      ...amount(74, (from, to) =>
        to ? `${plural(to, 'hot cue slot')}, not ${from}.` : 'There are no hot cues.',
      ),
      likely: (from, to) => (to >= from ? NEW : to ? Math.round(60 + 14 * (1 - to / from)) : 88),
    },
    banks: {
      likely: (from, to) => (to > from ? 70 : BETTER),
      drills: ['reach-slot'],
      words: (from, to) =>
        to > from
          ? `The slots lie on ${to} banks: switch the bank before you press.`
          : `The slots lie on ${plural(to, 'bank')}, not ${from}: no switching for those in reach.`,
    },
    buttons: {
      likely: (from, to) => (to < from ? 52 : NEW),
      drills: ['reach-slot'],
      words: (from, to) => `${plural(to, 'button')} for hot cues, not ${from}.`,
    },
    colours: {
      likely: (_, to) => (to === 'one' ? 46 : NEW),
      drills: [],
      words: (_, to) =>
        to === 'one'
          ? 'All hot cues have one colour: tell them by their place.'
          : 'Each hot cue has its colour.',
    },
    recall: {
      likely: (_, to) => (to === 'by-hand' ? 96 : 20),
      drills: ['recall-before-drop'],
      words: (_, to) =>
        to === 'by-hand'
          ? 'Hot cues do not come with the track: until you load them, the buttons fire those of the track before.'
          : 'Hot cues come with the track: nothing is to be loaded by hand.',
    },
    recallPresses: {
      likely: (from, to) => (to > from ? 40 : BETTER),
      drills: ['recall-before-drop'],
      words: (from, to) => `Three hot cues take ${plural(to, 'press', 'presses')} to load, not ${from}.`,
    },
  },
  marks: {
    shown: feature(
      58,
      'Stored marks are not shown.',
      'Stored marks are shown on the waveform.',
      'find-breakdown',
    ),
    limit: amount(
      30,
      (from, to) => `At most ${plural(to, 'stored mark is', 'stored marks are')} shown, not ${from}.`,
      'find-breakdown',
    ),
  },
  quantise: {
    steps: {
      likely: (from, to) =>
        !to.length ? 60 : from.length && to[0] > from[0] ? 57 : to[0] < from[0] ? 18 : 12,
      drills: [],
      words: (from, to) =>
        !to.length
          ? 'There is no quantise: what you press happens when you press it.'
          : !from.length
            ? `There is quantise, in steps of ${all(to)}: with it on, presses land on the beat.`
            : to[0] > from[0]
              ? `The finest step of quantise is ${inBeats(to[0])}, not ${inBeats(from[0])}: presses off the beat are moved.`
              : `Steps of quantise: ${all(to)}, not ${all(from)}.`,
    },
    setIn: {
      place: true,
      likely: (_, to) => (to === 'menu' ? 54 : to === 'none' ? 0 : 14),
      drills: [],
      words: (_, to) =>
        to === 'menu'
          ? 'Quantise is set in a menu: look at it before you start.'
          : 'Quantise is a button: it can be pressed by mistake.',
    },
  },
  loops: {
    direct: {
      likely: (from, to) => (without(from, to).length ? 52 : BETTER),
      drills: ['two-loops'],
      words: (from, to) => {
        const gone = without(from, to);
        return gone.length && to.length
          ? `No loop of ${all(gone)} at once; at once ${to.length === 1 ? 'is' : 'are'} ${all(to)}.`
          : `Loops of ${all(without(to, from))} can be set at once too.`;
      },
    },
    method: {
      place: true,
      likely: (_, to) =>
        ({ none: 72, 'halving-press': 62, 'short-and-long-press': 60, strip: 56, buttons: 24 })[to],
      drills: ['two-loops'],
      words: (_, to) =>
        ({
          none: 'No loop can be set by its length.',
          'halving-press': 'A loop begins at one length, and each press halves it.',
          'short-and-long-press': 'One button sets the loop: a short press and a long one give two lengths.',
          strip: 'The length of a loop is set on the touch strip.',
          buttons: 'The length of a loop is set by buttons.',
        })[to],
    },
    changeUnquantised: {
      likely: (_, to) => ({ 'snaps-to-start': 82, unreliable: 78, 'keeps-place': 10 })[to],
      drills: ['shorten-loop'],
      words: (_, to) =>
        ({
          'snaps-to-start':
            'With quantise off, a change of a loop’s length jumps to its start: change it on the one.',
          unreliable:
            'With quantise off, a change of a loop’s length is unreliable: set the length beforehand.',
          'keeps-place': 'A change of a loop’s length keeps your place, with quantise off too.',
        })[to],
    },
    shortest: {
      likely: () => 14,
      drills: [],
      words: (from, to) =>
        `The shortest loop is ${choiceWords[to].toLowerCase()}, not ${choiceWords[from].toLowerCase()}.`,
    },
    unreliableWithQuantise: {
      quality: true,
      likely: (_, to) => (to ? 68 : NEW),
      drills: [],
      words: (_, to) =>
        to
          ? 'Loops are unreliable with quantise on: switch it off first.'
          : 'Loops can be trusted with quantise on.',
    },
  },
  beatJump: {
    where: {
      place: true,
      likely: (_, to) => (to === 'none' ? 69 : to === 'screen' ? 50 : 10),
      drills: [],
      words: (_, to) =>
        to === 'none'
          ? 'There is no beat jump.'
          : to === 'screen'
            ? 'Beat jump is on a page of the screen, not under a button: open it first.'
            : 'Beat jump has buttons.',
    },
    lengths: {
      likely: (from, to) => (without(from, to).length ? 38 : NEW),
      drills: [],
      words: (from, to) => {
        const gone = without(from, to);
        return gone.length ? `No jump of ${all(gone)}.` : `Jumps of ${all(without(to, from))} too.`;
      },
    },
  },
  playback: {
    sync: feature(90, 'There is no sync: match tempo and beat by ear.', 'There is sync.', 'phase-compare'),
    slip: feature(
      64,
      'There is no slip: what you play with is lost from the track’s time.',
      'There is slip.',
    ),
    slipReverse: feature(44, 'Nothing plays backwards in slip.', 'A button plays backwards in slip.'),
    instantCopy: feature(
      42,
      'The other deck’s track cannot be taken over at once.',
      'The other deck’s track can be taken over at once.',
    ),
    touchStrip: {
      ...feature(40, 'There is no touch strip.', ''),
      likely: (from) => (from ? 40 : 26),
      words: (from) =>
        from ? 'There is no touch strip.' : 'There is a touch strip: a finger on it moves the track.',
    },
    tempoRangesPercent: {
      likely: (from, to) => {
        const [a, b] = [from.at(-1) ?? 0, to.at(-1) ?? 0];
        return b < a ? 36 : BETTER;
      },
      drills: [],
      words: (from, to) =>
        to.length
          ? `Tempo ranges: ± ${list(to.map((p) => number(p, 3)))} per cent, not ${from.length ? list(from.map((p) => number(p, 3))) : 'none'}.`
          : 'The tempo cannot be changed.',
    },
  },
  media: {
    formats: {
      likely: (from, to) => (without(from, to).length ? 86 : NEW),
      drills: ['loads-there'],
      words: (from, to) => {
        const gone = without(from, to);
        const names = (formats: typeof from) => list(formats.map((f) => choiceWords[f]));
        return gone.length
          ? `${names(gone)} ${gone.length === 1 ? 'does' : 'do'} not play: carry copies as WAV or AIFF.`
          : without(to, from).length
            ? `${names(without(to, from))} ${without(to, from).length === 1 ? 'plays' : 'play'} too.`
            : 'The same files play.';
      },
    },
    maxSampleRate: amount(
      60,
      (from, to) =>
        `Files above ${number(to / 1000, 4)} kHz do not play (at home ${number(from / 1000, 4)} kHz).`,
      'loads-there',
    ),
    maxBitDepth: amount(
      50,
      (from, to) => `Files of more than ${to} bits do not play (at home ${from}).`,
      'loads-there',
    ),
    discSlot: feature(12, 'There is no slot for discs.', 'There is a slot for discs.', 'loads-there'),
    drivePulled: {
      likely: (_, to) => (to === 'music-stops' ? 80 : 16),
      drills: ['drive-pulled'],
      words: (_, to) =>
        to === 'music-stops'
          ? 'When the drive is pulled, the music stops.'
          : 'When the drive is pulled, a loop keeps the music going until it is back.',
    },
    driveLight: feature(
      34,
      'No light tells which drive is in use: ask before you pull one.',
      'A light tells which drive is in use.',
      'drive-pulled',
    ),
    slowWithMetadata: {
      quality: true,
      likely: (_, to) => (to ? 37 : NEW),
      drills: ['loads-there'],
      words: (_, to) =>
        to
          ? 'Tracks with large covers and many stored points load slower.'
          : 'Loading does not get slower with covers and stored points.',
    },
  },
};
