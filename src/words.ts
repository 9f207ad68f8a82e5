/** Every sentence and label of the app's frame and ladder, in one place and ready to translate. */
import type { WaveformKind } from '../shared/profile/schema.ts';

const kinds: Record<WaveformKind, string> = {
  'three-band': 'Three bands',
  tint: 'Hue by tone',
  single: 'One colour',
};

export const words = {
  kinds,
  title: 'Boothproof',
  strapline: 'See your track as the worst deck in the booth will show it.',
  nav: { compare: 'Compare', decks: 'Decks', help: 'Help', label: 'Activities' },
  skip: 'Go to the ladder',
  theme: { booth: 'Dark booth', paper: 'Daylight paper', label: 'Light' },

  drop: 'Drop audio files here',
  dropNow: 'Let go to read these files',
  choose: 'Choose files…',
  formats: 'WAV, AIFF, MP3, AAC, ALAC, FLAC, Ogg Vorbis and Opus. Nothing leaves this computer.',
  yourTracks: 'Your tracks',
  noTracks: 'No track yet. Drop a file, or bring the demo set back.',
  reading: (percent: number) => `Reading, ${percent} %`,
  waiting: 'Waiting',
  cancel: (name: string) => `Stop reading ${name}`,
  cancelAll: 'Stop all',
  dismiss: 'Dismiss',
  removeTrack: (name: string) => `Remove ${name}`,
  removed: (name: string) => `${name} is removed.`,
  undo: 'Undo',
  demoRemove: 'Remove the demo set',
  demoRestore: 'Bring the demo set back',

  play: 'Play',
  pause: 'Pause',
  volume: 'Volume',
  volumeCaution:
    'Starts low on purpose. For headphones, WHO-ITU H.870 names 80 dB(A) for 40 hours a week as the reference exposure for adults; local rules come first.',
  pictureOnly: 'Only the picture of this track is stored here. Give the file again to play it.',
  cannotPlay: (name: string) => `This browser cannot play ${name} as it is.`,
  makingPlayable: 'Making a copy that this browser can play…',
  zoomIn: 'Closer',
  zoomOut: 'Wider',
  wholeTrack: 'Whole track',
  follow: 'Follow',
  overviews: 'Overviews',
  playhead: 'Playhead',
  atTime: (time: string, bar: string) => (bar ? `${time}, ${bar}` : time),
  barBeat: (bar: number, beat: number) => `bar ${bar}, beat ${beat}`,

  ladder: 'The ladder',
  addDeck: 'Add a deck…',
  emptyLadder: 'No deck stands on the ladder. Add one to see the track on it.',
  moveUp: (name: string) => `Move ${name} up`,
  moveDown: (name: string) => `Move ${name} down`,
  remove: (name: string) => `Take ${name} off the ladder`,
  pair: 'Edge to edge',
  pairHint: 'Pick this on two decks to lay them edge to edge',
  pairOne: 'Now pick “Edge to edge” on a second deck.',
  pairTitle: (a: string, b: string) => `${a} above, ${b} below, on one edge`,
  pairClose: 'Lay apart',
  pairStretched: (name: string, seconds: string) =>
    `${name} is stretched to the axis here so that both can be read together; one of its columns is ${seconds}.`,
  colours: 'Colours',
  waveformOn: (name: string) => `Waveform on ${name}`,
  zoomStopOn: (name: string) => `Seconds that ${name} shows at once`,
  zoomStopNearest: (seconds: number) => `Nearest zoom (${seconds} s)`,
  zoomStop: (seconds: number) => `${seconds} s at once`,
  overviewOf: (name: string, columns: number) =>
    `Whole track as ${name} draws it in ${columns} columns, with the visible part marked`,

  noGridFound: 'No steady beat found',
  tempo: (bpm: string) => `${bpm} bpm`,
  sure: (percent: number) => `${percent} % sure`,
  drifts: 'drifts',
  provisional: 'Still reading: the picture grows from the left.',

  help: {
    title: 'How to read the ladder',
    paragraphs: [
      'Print shops soft-proof a picture for a poor printer before they print it. Boothproof does the same with a track: each rung shows what one generation of decks would show of it, and nothing more. The richest deck stands on top.',
      'All rungs share one time axis and one playhead. The bright part of a rung is what that deck has on its screen at this moment; the veiled part would only scroll into sight. The narrow band under a rung is the deck’s overview: always the whole track, with the part you are looking at framed.',
      'A deck without a scrolling waveform has only its overview. However close you look, it stays as coarse as it is.',
      'The decks are models of what a generation shows, with colours of our own. Change the colours, or a whole deck, to come closer to what you meet in your booths.',
    ],
    keys: 'Keys',
    cautions: 'Cautions',
    display:
      'The rungs scroll while the music plays. Turn “Follow” off, or ask your system for reduced motion, if moving pictures trouble you.',
  },
} as const;
