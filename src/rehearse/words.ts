/** Every sentence and label of “Rehearse”, in one place and ready to translate. */
import type { Intent } from '../../shared/behaviour/what-if/intents.ts';
import type { Press } from '../../shared/behaviour/press.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { pressWords } from '../train/hands/words.ts';
import type { TaskStep } from './steps.ts';

const plural = (count: number, one: string, many: string) => `${count} ${count === 1 ? one : many}`;
const beats = (count: number) => plural(Math.round(count * 1000) / 1000, 'beat', 'beats');
const ms = (seconds: number) => `${Math.round(seconds * 1000)} ms`;

export const words = {
  title: 'Rehearse',
  intro:
    'Play your track on a deck that has only what the chosen deck has. Work from left to right: choose, find, start, hold, move on.',
  one: 'One deck',
  two: 'Two linked decks',
  howMany: 'Decks',
  noSound: 'This browser has no audio engine that Boothproof can play on: the decks work, but silently.',
  giveAgain: (name: string) =>
    `The sound of “${name}” is not kept here: drop the file on the page in Compare, then load it again.`,
  readFirst: (name: string) => `“${name}” has to be read first: open it in Compare.`,
  noTracks: 'No track yet: drop one on the page in Compare.',
  deck: (index: number) => (index === 0 ? 'First deck' : 'Second deck'),
  profile: 'Kind of deck',
  hand: 'Keys on this deck',
  handHint: 'X puts the keys on the other deck',
  useKeys: 'Keys press the controls',
  steps: {
    choose: 'Choose the track',
    find: 'Find the place',
    start: 'Start in time',
    hold: 'Hold',
    leave: 'Move on',
  } satisfies Record<TaskStep | 'choose', string>,
  track: 'Track',
  load: 'Load',
  reading: (percent: number) => `Reading the sound: ${percent} %`,
  stop: 'Stop',
  pull: 'Pull the drive',
  pullHint: 'What happens when somebody takes the drive out',
  clearNext: 'Clear the next cue pressed',
  clears: (label: string) => `Clear ${label.toLowerCase()}`,
  tempo: 'Tempo',
  tempoAt: (percent: string, bpm: string) => (bpm ? `${percent}, ${bpm}` : percent),
  percent: (value: number, digits: number) => `${value > 0 ? '+' : ''}${value.toFixed(digits)} %`,
  bpm: (value: number) => `${value.toFixed(2)} bpm`,
  keyLock: 'Keep the key',
  keyLockHint: 'Whether a deck keeps the key is in no profile: choose what yours does',
  fades: 'Soft jumps',
  fadesHint: 'A fade of 3 ms at every jump, so that it does not click',
  strip: 'Strip for seeking',
  overview: (deck: string) => `Whole track as ${deck} shows it`,
  waveform: (deck: string) => `Waveform as ${deck} shows it`,
  listenHere: 'A touch listens ahead',
  empty: 'No track on this deck.',
  phase: 'Beats of both decks',
  phaseHere: 'here',
  phaseOther: 'other',
  beatOf: (beat: number, of: number) => `beat ${beat} of ${of}`,
  noBeat: 'no beat',
  ahead: 'The headphones play that place.',
  aheadNowhere: 'Only headphones hear that: choose their output under “Sound” first.',
  readOut: 'What the deck does',
  place: 'Place',
  ofTrack: (at: string, whole: string) => `${at} of ${whole}`,
  presses: 'Presses',
  deckWord: 'Deck',
  slip: 'Slip',
  slipUnder: 'on, the track runs on silently',
  on: 'on',
  off: 'off',
  loop: 'Loop',
  quantise: 'Quantise',
  sync: 'Sync',
  following: 'follows the other deck',
  notFollowing: 'off',
  jumpLength: 'Jump',
  desk: {
    title: 'Sound',
    volume: 'Volume',
    crossfade: 'From first to second',
    crossfadeAt: (share: number) =>
      share === 0 ? 'first deck' : share === 1 ? 'second deck' : `${Math.round(share * 100)} % second deck`,
  },
  phones: {
    find: 'Headphones on a second output…',
    why: 'The browser names outputs only to a page that may use the microphone. It is closed again at once; nothing is recorded.',
    at: 'Headphones at',
    none: 'no second output',
    level: 'Headphone volume',
    listen: (deck: string) => `Listen to the ${deck.toLowerCase()}`,
    refused: 'Without that permission the browser does not name its outputs, so there is no pre-listening.',
    failed: 'The sound could not be sent to that output: choose another one.',
    unnamed: (n: number) => `Output ${n}`,
    nothing: 'The browser knows of no second output. Plug it in and look again.',
  },
  midi: {
    title: 'MIDI controller',
    connect: 'Connect',
    none: 'No controller answers. Plug it in; it is found by itself.',
    refused: 'The browser did not allow MIDI. Allow it in its settings for this page, then connect again.',
    devices: (names: string) => `Connected: ${names}.`,
    learn: 'Learn',
    learning: 'Press a control on the screen, then move the one on the controller. Press Learn again to end.',
    waiting: (label: string) => `Now move what shall be “${label}”.`,
    learnt: (label: string) => `That is “${label}” now.`,
    known: (count: number) => `${plural(count, 'control is', 'controls are')} learnt.`,
    forget: 'Forget all',
  },
  latency: {
    title: 'Delay',
    hint: 'From the press to the ear, as far as the browser knows. Wireless headphones often add more than they tell: tap along to measure it.',
    none: 'Press something that is heard: then the delay stands here.',
    whole: (s: number) => `${ms(s)} from the press to the ear`,
    parts: (page: number, player: number, ear: number) =>
      `${ms(page)} to the page, ${ms(player)} to the player, ${ms(ear)} to the output`,
    engine: (base: number, output: number) =>
      `The engine says ${ms(base)} of its own and ${ms(output)} to the output.`,
    ear: 'Tap along by ear',
    eye: 'Tap along by eye',
    tap: 'Tap',
    tapHint: 'Tap with the space bar or the button on each beat, eight times or more.',
    taps: (count: number) => plural(count, 'tap', 'taps'),
    result: (offset: number, spread: number) =>
      `Your taps come ${ms(Math.abs(offset))} ${offset >= 0 ? 'after' : 'before'} the beat, give or take ${ms(spread)}.`,
    tooFew: 'Tap at least eight times.',
    uneven: 'These taps are too far apart to tell anything: try again.',
    keep: 'Use this',
    kept: { ear: 'by ear', eye: 'by eye' },
    inUse: (which: string, offset: number) =>
      `In use ${which}: ${ms(Math.abs(offset))} ${offset >= 0 ? 'late' : 'early'}.`,
    drop: 'Use none',
    why: 'The hand drills take your measure off every press: by ear where they click, else by eye. So a slow screen or loudspeaker costs you nothing.',
    start: 'Start',
    stop: 'Stop',
    bar: 'The bar is full on the beat',
  },
  whatIf: {
    title: 'The same mix on another deck',
    hint: 'Record what you press on one deck; see which of it another deck can do, and by which presses. Recording starts with the deck as it is switched on.',
    record: (deck: string) => `Record on the ${deck.toLowerCase()}`,
    stopRecording: 'Stop recording',
    needsTrack: 'Load a track first.',
    recording: 'Recording…',
    full: 'There are as many recordings as are kept. Delete one to record again.',
    which: 'Recording',
    label: (track: string, deck: string, count: number, s: number, when: string) =>
      `“${track}” on ${deck}: ${plural(count, 'event', 'events')} in ${s.toFixed(1)} s, ${when}`,
    drop: 'Delete it',
    dropped: 'The recording is deleted.',
    unreadable: (count: number) =>
      count === 1 ? 'One recording cannot be read.' : `${count} recordings cannot be read.`,
    dropUnreadable: 'Delete what cannot be read',
    droppedUnreadable: (count: number) =>
      `${plural(count, 'recording', 'recordings')} that could not be read: deleted.`,
    bringBack: 'Bring back',
    nothing: 'Nothing was pressed while recording.',
    other: 'On the deck',
    run: 'See what becomes of it',
    running: 'Looking for the presses…',
    cancel: 'Stop',
    failed:
      'The comparison broke off because of an error in Boothproof. Record again, or choose another deck.',
    summary: (fail: number, off: number, more: number) =>
      [
        fail ? `${plural(fail, 'move fails', 'moves fail')} there` : 'Every move can be done there',
        off ? `${plural(off, 'loop or jump falls', 'loops or jumps fall')} out of time` : 'all stays in time',
        more === 0
          ? 'as many presses'
          : `${plural(Math.abs(more), 'press', 'presses')} ${more > 0 ? 'more' : 'fewer'}`,
      ].join('; ') + '.',
    table: 'What becomes of each move',
    columns: {
      time: 'At',
      move: 'Move',
      outcome: 'There',
      presses: 'Presses there',
      more: 'More',
      off: 'Off the beat',
    },
    outcome: { same: 'same presses', 'other-presses': 'other presses', impossible: 'fails' },
    off: (error: number, perTurn: number) => {
      const now = Math.round(error);
      const turn = Math.round(perTurn);
      if (!now && !turn) return 'in time';
      const parts = [];
      if (now) parts.push(`${Math.abs(now)} ms ${now > 0 ? 'ahead' : 'behind'}`);
      if (turn) parts.push(`${Math.abs(turn)} ms more with each turn`);
      return parts.join(', ');
    },
    hold: (s: number) => `hold ${s.toFixed(1)} s`,
    practise: (drill: string) => `Practise: ${drill}`,
    plan: 'Put these moves into a set',
    planHint: 'The check of the set then tells which of them its booth can do.',
    planned: (count: number, set: string) =>
      count ? `${plural(count, 'move', 'moves')} planned in “${set}”.` : `“${set}” has these moves already.`,
    noSet: 'No set has this track: put it into one in Gig first.',
    set: 'Set',
  },
} as const;

/** Label of a control on a rehearsal deck. */
export function controlWords(press: Press, profile: DeckProfile): string {
  switch (press.kind) {
    case 'hot-cue':
      return `Cue ${press.button}`;
    case 'cue':
      return 'Cue point';
    case 'search':
      return press.direction > 0 ? 'Wind on' : 'Wind back';
    case 'bend':
      return press.amount > 0 ? 'Push: faster' : 'Drag: slower';
    case 'tempo-range':
      return 'Wider range';
    case 'sync':
      return 'Follow the other deck';
    case 'loop-reenter':
      return 'Into the loop again';
    case 'beat-jump':
      return press.direction > 0 ? 'Jump on' : 'Jump back';
    case 'jump-longer':
      return 'Longer jump';
    case 'jump-shorter':
      return 'Shorter jump';
    case 'jump-page':
      return 'Page of jumps';
    case 'screen-jump':
      return `${press.beats > 0 ? 'On' : 'Back'} by ${beats(Math.abs(press.beats))}`;
    case 'slip':
      return 'Slip on or off';
    case 'slip-reverse':
      return 'Backwards, and return';
    case 'tempo':
      return `Tempo fader at ${Math.round(press.fader * 100)} %`;
    case 'strip-touch':
      return 'Touch the strip';
    case 'overview-touch':
      return 'Touch the overview';
    case 'overview-listen':
      return 'Listen ahead';
    case 'hot-cue-clear':
      return `Clear cue ${press.button}`;
    default:
      return pressWords(press, profile);
  }
}

/** What a move was meant to do, in words. */
export function intentWords(intent: Intent): string {
  switch (intent.kind) {
    case 'start':
      return 'Start';
    case 'stop':
      return 'Stop';
    case 'jump-to-cue':
      return intent.name ? `Jump to “${intent.name}”` : 'Jump to a cue';
    case 'set-cue':
      return 'Set a cue';
    case 'loop':
      return intent.beats === null
        ? `Loop of ${intent.seconds.toFixed(2)} s`
        : `Loop of ${beats(intent.beats)}`;
    case 'leave-loop':
      return 'Leave the loop';
    case 'reenter-loop':
      return 'Into the loop again';
    case 'jump-by':
      return `Jump ${intent.beats > 0 ? 'on' : 'back'} by ${beats(Math.abs(intent.beats))}`;
    case 'reverse':
      return 'Play backwards and return';
    case 'search':
      return 'Wind';
    case 'seek':
      return 'Seek by touch';
    case 'tempo':
      return `Tempo at ${((Math.abs(intent.rate) - 1) * 100).toFixed(1)} %`;
    case 'follow':
      return 'Follow the other deck';
    case 'bend':
      return intent.amount > 0 ? 'Push' : 'Drag';
    case 'load':
      return `Load “${intent.track.name}”`;
    case 'drive':
      return 'Put the drive back';
  }
}
