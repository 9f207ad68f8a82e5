/**
 * What a person can tell of a deck that no profile describes, having seen it once or asked the venue. A question
 * leads to facts of the profile; what was not answered stays as it is on the nearest deck that we know.
 */
import type { DeckProfile } from '../../profile/schema.ts';

/** Each missing or null: not known. */
export interface DeckAnswers {
  /** Pads or buttons for hot cues that lie side by side, 0..16. */
  cuePads?: number | null;
  /** Banks of them, 1..4. */
  cueBanks?: number | null;
  cueColours?: DeckProfile['hotCues']['colours'] | null;
  /** Do the cues come with the track? */
  cuesComeAlong?: boolean | null;
  waveformScrolls?: boolean | null;
  /** Can bass and treble be told apart by colour on it? */
  waveformColour?: DeckProfile['waveform']['kinds'][number] | null;
  touchScreen?: boolean | null;
  /** Rows of the track list, 1..60. */
  listRows?: number | null;
  textSearch?: boolean | null;
  loopButtons?: DeckProfile['loops']['method'] | null;
  beatJump?: DeckProfile['beatJump']['where'] | null;
  sync?: boolean | null;
  quantise?: DeckProfile['quantise']['setIn'] | null;
  playsFlac?: boolean | null;
  drivePulled?: DeckProfile['media']['drivePulled'] | null;
}

export type QuestionId = keyof DeckAnswers;

/** `number` with its ends, `choice` with its answers; everything can be left open. */
export type Question = { id: QuestionId; text: string } & (
  | { input: 'number'; min: number; max: number }
  | { input: 'choice'; choices: readonly { value: string | boolean; label: string }[] }
);

const yesNo = [
  { value: true, label: 'Yes' },
  { value: false, label: 'No' },
] as const;

/** In the order in which they tell most: the first few are enough to find a deck. */
export const QUESTIONS: readonly Question[] = [
  { id: 'waveformScrolls', text: 'Does a waveform scroll with the track?', input: 'choice', choices: yesNo },
  { id: 'touchScreen', text: 'Does the screen take touch?', input: 'choice', choices: yesNo },
  {
    id: 'cuePads',
    text: 'How many pads or buttons for hot cues lie side by side?',
    input: 'number',
    min: 0,
    max: 16,
  },
  { id: 'cueBanks', text: 'How many banks of them can be switched?', input: 'number', min: 1, max: 4 },
  {
    id: 'cuesComeAlong',
    text: 'Do the hot cues come with the track, without a press?',
    input: 'choice',
    choices: yesNo,
  },
  {
    id: 'cueColours',
    text: 'Do the hot cues have colours?',
    input: 'choice',
    choices: [
      { value: 'each', label: 'Each its own' },
      { value: 'one', label: 'All the same' },
    ],
  },
  {
    id: 'loopButtons',
    text: 'How is the length of a loop set?',
    input: 'choice',
    choices: [
      { value: 'buttons', label: 'Buttons for the lengths' },
      { value: 'short-and-long-press', label: 'One button, short or long press' },
      { value: 'strip', label: 'On a touch strip' },
      { value: 'halving-press', label: 'It begins at one length, each press halves it' },
      { value: 'none', label: 'It cannot be set' },
    ],
  },
  {
    id: 'waveformColour',
    text: 'How does the waveform tell bass from treble?',
    input: 'choice',
    choices: [
      { value: 'three-band', label: 'Each has its own shape' },
      { value: 'tint', label: 'By its hue' },
      { value: 'single', label: 'One colour, lighter or darker' },
    ],
  },
  {
    id: 'beatJump',
    text: 'Where is the beat jump?',
    input: 'choice',
    choices: [
      { value: 'buttons', label: 'Under buttons' },
      { value: 'screen', label: 'On the screen' },
      { value: 'none', label: 'There is none' },
    ],
  },
  { id: 'sync', text: 'Is there a sync button?', input: 'choice', choices: yesNo },
  {
    id: 'quantise',
    text: 'Where is quantise set?',
    input: 'choice',
    choices: [
      { value: 'button', label: 'A button' },
      { value: 'menu', label: 'In a menu' },
      { value: 'none', label: 'There is none' },
    ],
  },
  { id: 'listRows', text: 'How many tracks does the list show at once?', input: 'number', min: 1, max: 60 },
  { id: 'textSearch', text: 'Can tracks be searched by typing?', input: 'choice', choices: yesNo },
  { id: 'playsFlac', text: 'Does it play FLAC files?', input: 'choice', choices: yesNo },
  {
    id: 'drivePulled',
    text: 'What happens when the drive is pulled while it plays?',
    input: 'choice',
    choices: [
      { value: 'loop-saves-set', label: 'A loop keeps playing' },
      { value: 'music-stops', label: 'The music stops' },
    ],
  },
];
