/**
 * Labels of every fact, for the editor and for the published schema, in one place and ready to translate.
 * The type makes a fact without a label, or a label without a fact, a compile error.
 */
import type { FactGroup, FactName, Facts } from './facts.ts';

export interface GroupWords<G extends FactGroup> {
  title: string;
  facts: { [N in FactName<G>]: string };
}

export const factWords: { [G in FactGroup]: GroupWords<G> } = {
  screen: {
    title: 'Screen',
    facts: {
      columns: 'Columns of pixels that carry information',
      rows: 'Rows of pixels that carry information',
      diagonalInches: 'Diagonal, inches',
      touch: 'Touch screen',
    },
  },
  list: {
    title: 'Track list',
    facts: {
      rows: 'Rows seen at once',
      columns: 'Columns seen at once',
      titleCharacters: 'Characters of a title before it is cut',
      preview: 'Listening from the list',
      trackFilter: 'Filter by tempo, key or the like',
      letterStrip: 'Search by a strip of letters',
      textSearch: 'Search by typing',
      keyMatch: 'Marks tracks whose key fits',
    },
  },
  waveform: {
    title: 'Scrolling waveform',
    facts: {
      kinds: 'Kinds, best first',
      scrolling: 'The waveform scrolls',
      zoomSeconds: 'Seconds on screen at each zoom stop, nearest first',
      heightSteps: 'Heights that can be told apart',
      colourSteps: 'Shades or hues (1: one flat colour)',
      grid: 'Grid',
      gridPlace: 'Where the grid is drawn',
    },
  },
  overview: {
    title: 'Overview of the whole track',
    facts: {
      columns: 'Columns',
      heightSteps: 'Heights that can be told apart',
      kind: 'What its colour tells',
      colourSteps: 'Shades or hues (1: one flat colour)',
      touchListen: 'Listening ahead by touching it',
    },
  },
  phase: { title: 'Beat phase of the other deck', facts: { readout: 'How it is shown' } },
  hotCues: {
    title: 'Hot cues',
    facts: {
      slots: 'Slots',
      banks: 'Banks',
      buttons: 'Buttons of one bank',
      colours: 'Colours',
      recall: 'How stored cues come back',
      recallPresses: 'Presses to load three cues (0 where automatic)',
    },
  },
  marks: {
    title: 'Stored structure marks',
    facts: { shown: 'Shown on the waveform', limit: 'Most marks shown (0 where none are)' },
  },
  quantise: {
    title: 'Quantise',
    facts: { steps: 'Steps in beats, finest first (empty: no quantise)', setIn: 'Where it is set' },
  },
  loops: {
    title: 'Loops',
    facts: {
      direct: 'Lengths set at once, in beats, shortest first',
      method: 'How a length is set',
      changeUnquantised: 'A changed length with quantise off',
      shortest: 'Shortest loop',
      unreliableWithQuantise: 'Unreliable with quantise on',
    },
  },
  beatJump: {
    title: 'Beat jump',
    facts: { where: 'Where it is', lengths: 'Lengths in beats, shortest first (empty: none)' },
  },
  playback: {
    title: 'Playing',
    facts: {
      sync: 'Sync',
      slip: 'Slip',
      slipReverse: 'Slip reverse',
      instantCopy: 'Copies the other deck’s track at once',
      touchStrip: 'Touch strip',
      tempoRangesPercent: 'Tempo ranges, ± per cent, narrowest first',
    },
  },
  media: {
    title: 'Media',
    facts: {
      formats: 'Files that play',
      maxSampleRate: 'Highest sample rate, Hz',
      maxBitDepth: 'Most bits per sample',
      discSlot: 'Disc slot',
      drivePulled: 'When the drive is pulled',
      driveLight: 'A light at the drive in use',
      slowWithMetadata: 'Loads slower the more metadata a track has',
    },
  },
};

/** Words for every value that is chosen from a list. A value means the same in each fact that has it. */
export const choiceWords: Record<Facts['choice'], string> = {
  'three-band': 'Three bands',
  tint: 'Hue by tone',
  single: 'One colour, light where there is treble',
  plain: 'Nothing: one flat colour',
  'beats-and-bars': 'Beats and bars',
  beats: 'Beats only',
  none: 'None',
  across: 'Across the waveform',
  'edge-marks': 'Marks at the edge',
  nowhere: 'Nowhere',
  'stacked-waveforms': 'Waveforms of both decks stacked',
  'bar-beat-ticks': 'Ticks for bars and beats',
  'four-blocks': 'Four blocks of one bar',
  touch: 'By touching a track',
  each: 'Each cue its own',
  one: 'One for all',
  automatic: 'With the track',
  'by-hand': 'Loaded by hand',
  button: 'A button',
  menu: 'A menu',
  buttons: 'Buttons',
  'short-and-long-press': 'Short and long press',
  strip: 'Touch strip',
  'halving-press': 'Each press halves it',
  'keeps-place': 'Keeps your place',
  'snaps-to-start': 'Snaps to the loop’s start',
  unreliable: 'Unreliable',
  '1/32 beat': '1/32 beat',
  '1/64 beat': '1/64 beat',
  frame: 'One frame',
  screen: 'On the screen',
  'loop-saves-set': 'A loop saves the set',
  'music-stops': 'The music stops',
  mp3: 'MP3',
  aac: 'AAC',
  wav: 'WAV',
  aiff: 'AIFF',
  flac: 'FLAC',
  alac: 'ALAC',
  vorbis: 'Ogg Vorbis',
  opus: 'Opus',
};

export const paletteWords: Record<keyof Facts['palette'], string> = {
  background: 'Background',
  bass: 'Bass',
  middle: 'Middle',
  treble: 'Treble',
  tintLow: 'Hue of bass',
  tintMid: 'Hue of the middle',
  tintHigh: 'Hue of treble',
  singleDark: 'No treble',
  singleLight: 'All treble',
  overview: 'Flat overview',
  grid: 'Beat lines',
  downbeat: 'Bar lines',
};
