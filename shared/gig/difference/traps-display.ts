/** Differences in what is seen: screen, list, waveform, overview. See `traps.ts`. */
import { choiceWords } from '../../profile/words.ts';
import { list, number, plural } from '../../text.ts';
import { amount, BETTER, type DrillKeys, feature, NEW, type Trap, type Traps, without } from './trap.ts';

const KIND_RANK = ['plain', 'single', 'tint', 'three-band'];
const GRID_RANK = ['none', 'beats', 'beats-and-bars'];

/** Finer picture: alone it hardly catches anybody out. */
const finer = (likely: number, what: string, ...drills: DrillKeys): Trap<number> =>
  amount(likely, (from, to) => `${what}: ${to}, not ${from}.`, ...drills);

export const displayTraps: Pick<Traps, 'screen' | 'list' | 'waveform' | 'overview'> = {
  screen: {
    columns: finer(10, 'Columns of pixels', 'own-size'),
    rows: finer(6, 'Rows of pixels', 'own-size'),
    diagonalInches: amount(
      18,
      (from, to) => `The screen measures ${number(to, 3)} inches, not ${number(from, 3)}.`,
      'own-size',
    ),
    touch: feature(
      50,
      'The screen takes no touch: everything goes by knob and buttons.',
      'The screen takes touch.',
      'find-by-letter',
    ),
  },
  list: {
    rows: amount(
      35,
      (from, to) => `The list shows ${plural(to, 'row')} at once, not ${from}.`,
      'find-by-letter',
    ),
    columns: amount(28, (from, to) => `The list shows ${plural(to, 'column')}, not ${from}.`, 'row-in-list'),
    titleCharacters: amount(
      32,
      (from, to) =>
        to < from ? `Titles are cut after ${to} characters, not ${from}.` : `Titles show ${to} characters.`,
      'row-in-list',
    ),
    preview: {
      likely: (_, to) => (to === 'none' ? 33 : NEW),
      drills: ['hear-first'],
      words: (_, to) =>
        to === 'none'
          ? 'A track cannot be heard from the list.'
          : 'A track can be heard from the list by touch.',
    },
    trackFilter: feature(
      36,
      'The list cannot be narrowed by tempo or key.',
      'The list can be narrowed by tempo, key or the like.',
      'way-to-row',
    ),
    letterStrip: feature(
      28,
      'There is no strip of letters to search by.',
      'A strip of letters leads to a place in the list.',
      'find-by-letter',
    ),
    textSearch: feature(
      47,
      'There is no search by typing: sort your lists so that the knob is enough.',
      'Tracks can be searched by typing.',
      'find-by-letter',
    ),
    keyMatch: feature(
      38,
      'The list does not mark tracks whose key fits.',
      'The list marks tracks whose key fits.',
      'row-in-list',
    ),
  },
  waveform: {
    scrolling: feature(
      85,
      'No waveform scrolls: all that you see is an overview of the whole track.',
      'A waveform scrolls with the track.',
      'bars-to-change',
      'find-drop',
    ),
    kinds: {
      likely: (from, to) => (KIND_RANK.indexOf(to[0]) < KIND_RANK.indexOf(from[0]) ? 49 : BETTER),
      drills: ['same-on-rich', 'heard-strip'],
      words: (from, to) => {
        const names = (kinds: typeof from) => list(kinds.map((kind) => choiceWords[kind].toLowerCase()));
        return to[0] !== from[0]
          ? `The waveform shows ${choiceWords[to[0]].toLowerCase()}, not ${choiceWords[from[0]].toLowerCase()}.`
          : without(from, to).length
            ? `Of the waveform’s kinds there ${without(from, to).length === 1 ? 'is' : 'are'} not: ${names(without(from, to))}.`
            : `The waveform can also show: ${names(without(to, from))}.`;
      },
    },
    zoomSeconds: {
      likely: (from, to) =>
        (to.at(-1) ?? 0) < (from.at(-1) ?? 0) || (to[0] ?? 0) > (from[0] ?? 0) ? 27 : NEW,
      drills: ['bars-to-change'],
      words: (from, to) =>
        `The waveform shows ${number(to[0], 3)} to ${number(to[to.length - 1], 3)} seconds, not ${number(from[0], 3)} to ${number(from[from.length - 1], 3)}.`,
    },
    heightSteps: finer(20, 'Heights that the waveform tells apart', 'bars-to-change'),
    colourSteps: finer(18, 'Shades that the waveform tells apart', 'same-on-rich', 'heard-strip'),
    grid: {
      likely: (from, to) =>
        GRID_RANK.indexOf(to) < GRID_RANK.indexOf(from) ? (to === 'none' ? 59 : 51) : BETTER,
      drills: ['bars-to-change'],
      words: (_, to) =>
        ({
          none: 'No grid is drawn.',
          beats: 'The grid shows beats and does not tell which of them begins a bar.',
          'beats-and-bars': 'The grid shows beats and bars.',
        })[to],
    },
    gridPlace: {
      place: true,
      likely: (_, to) => (to === 'edge-marks' ? 31 : to === 'nowhere' ? 0 : BETTER),
      drills: ['bars-to-change'],
      words: (_, to) =>
        to === 'edge-marks'
          ? 'The grid is only marked at the edge of the waveform.'
          : 'The grid is drawn across the waveform.',
    },
  },
  overview: {
    columns: amount(
      30,
      (from, to) => `The overview has ${to} columns for the whole track, not ${from}.`,
      'read-time',
    ),
    heightSteps: amount(
      26,
      (from, to) => `The overview tells ${to} heights apart, not ${from}.`,
      'find-breakdown',
    ),
    kind: {
      likely: (from, to) =>
        KIND_RANK.indexOf(to) < KIND_RANK.indexOf(from) ? (to === 'plain' ? 53 : 39) : BETTER,
      drills: ['bass-here'],
      words: (from, to) =>
        to === 'plain'
          ? 'The overview has no colour: whether there is bass cannot be seen on it.'
          : `The overview’s colour tells: ${choiceWords[to].toLowerCase()}, not ${choiceWords[from].toLowerCase()}.`,
    },
    colourSteps: finer(12, 'Shades that the overview tells apart', 'bass-here'),
    touchListen: feature(
      41,
      'Touching the overview does not let you listen ahead.',
      'Touching the overview lets you listen ahead.',
      'find-mix-out',
    ),
  },
};
