/** Every sentence and label of the activity “Train”, in one place and ready to translate. */

const plural = (count: number, one: string, many: string) => `${count} ${count === 1 ? one : many}`;

export const words = {
  title: 'Train',
  intro:
    'Short questions about your own tracks, drawn as a poor deck draws them, and procedures for your hands. Now and then the same question comes on the richest display: that is the measure to compare with.',
  minutes: 'Length',
  minutesOf: (minutes: number) => `${minutes} minutes`,
  mode: 'For',
  modes: { everyday: 'every day', tonight: 'a gig tonight' },
  booth: 'Decks of tonight’s booth',
  start: 'Start',
  drop: 'End this session',
  loading: 'Reading your tracks…',
  noTracks:
    'No track is ready to ask about yet. Tracks need a sure grid and sections: add some, or check those that are unsure in Mark.',
  sample: (used: number, of: number) => `Asked about ${used} of your ${of} tracks this time.`,
  notThis:
    'None of your tracks is ready to be asked about this on that deck. Add tracks, check those that are unsure in Mark, or train everything.',
  only: (drill: string, deck: string) => `Only “${drill}” on ${deck}.`,
  everything: 'Everything instead',
  wishWaits: (drill: string, deck: string) =>
    `A session is open. “${drill}” on ${deck} comes when it has ended.`,
  endAndTrain: 'End it and train that',
  handOn: (deck: string) => `With your hands, on ${deck}.`,
  progress: (at: number, of: number) => `Question ${at} of ${of}`,
  on: (deck: string) => `on ${deck}`,
  baseline: 'on the richest display, as your own measure',
  pointAt: (deck: string) => `Picture on ${deck}. Arrow keys move the pointer, with Shift by ten columns.`,
  picture: (deck: string) => `Picture on ${deck}`,
  option: (letter: string) => `Strip ${letter}`,
  nothingPointed: 'nothing pointed at yet',
  column: (column: number, of: number) => `column ${column} of ${of}`,
  phaseOn: (deck: string) => `Phase as ${deck} shows it`,
  phaseRows: { here: 'This deck', other: 'Other deck' },
  bars: (from: number, to: number) => `Bars (${from} to ${to})`,
  barsWrong: (from: number, to: number) => `Type a whole number of bars from ${from} to ${to}.`,
  time: 'Time, minutes and seconds',
  timeHint: 'For instance 2:05',
  timeWrong: 'Type a time such as 2:05.',
  timeBeyond: (length: string) => `Type a time within the track; it is ${length} long.`,
  ownSize:
    'No larger than on the deck’s screen, if your own screen has 96 dots to the inch: look at it from an arm’s length.',
  length: (text: string) => `The track is ${text} long.`,
  listen: 'Listen',
  stop: 'Stop',
  withSound: 'I can listen now',
  withHands: 'Hand drills too',
  boothOf: 'Booth',
  noSound: 'The sound of this track is not kept here, so this question is asked without it.',
  confidence: 'How sure are you?',
  confidences: [
    { value: 0.25, text: 'A guess' },
    { value: 0.5, text: 'Perhaps' },
    { value: 0.75, text: 'Fairly' },
    { value: 0.95, text: 'Certain' },
  ],
  answer: 'Answer',
  needAnswer: 'Choose an answer and how sure you are.',
  next: 'Next question',
  finish: 'See how it went',
  skip: 'Skip this one',
  yours: 'Yours',
  rightOne: 'Right',
  result: {
    hit: 'Right.',
    miss: 'Not this time.',
    bars: (bars: number) =>
      Math.abs(bars) < 0.05
        ? 'Exactly on it.'
        : `${plural(Math.round(Math.abs(bars) * 10) / 10, 'bar', 'bars')} too ${bars < 0 ? 'early' : 'late'}.`,
    barsOf: (bars: number) => plural(bars, 'bar', 'bars'),
    fewer: (bars: number) =>
      bars === 0 ? '' : `${plural(Math.abs(bars), 'bar', 'bars')} too ${bars < 0 ? 'few' : 'many'}.`,
    ms: (ms: number) =>
      Math.abs(ms) < 1000 ? `${Math.round(Math.abs(ms))} ms.` : `${(Math.abs(ms) / 1000).toFixed(1)} s.`,
    seconds: (s: number) => `Answered in ${s.toFixed(1)} s.`,
  },
  thatWas: (title: string) => `This was ${title}.`,
  hereWithYours: (deck: string) => `On ${deck}: the answer (thin line) and yours (thick line)`,
  hereOn: (deck: string) => `The answer on ${deck}`,
  richOn: (deck: string) => `The same place on ${deck}`,
  contrast: (here: string, rich: string) =>
    `Contrast at the place: ${here} here, ${rich} on the richest display.`,
  unknown: 'not measured',
  done: 'Session done',
  doneCount: (right: number, of: number) => (of ? `${right} of ${of} right.` : 'Nothing was answered.'),
  again: 'Another session',
  confirmStep: 'Confirmed in a drill.',
  confirmTitle: 'First, is this right?',
  confirmWhy: 'The analysis was not sure about this track. Your answer goes back to the track.',
  tabs: { drills: 'Reading', hands: 'Hands', progress: 'Progress' },
  flash: 'Nothing here flashes; pictures change only when you answer.',

  progressTitle: 'How your training develops',
  progressNone: 'After your first answers or hand rounds this shows how you develop.',
  progressDecksGone: 'The decks you trained on are not here any more. The files hold all you answered.',
  progressAnswers: (answers: number, rounds: number) =>
    [
      answers || !rounds ? plural(answers, 'answer', 'answers') : '',
      rounds ? plural(rounds, 'hand round', 'hand rounds') : '',
    ]
      .filter(Boolean)
      .join(', '),
  errorTitle: (deck: string) => `Error on ${deck}, in bars`,
  errorAxis: 'Error in bars',
  day: 'Day',
  yourError: 'you',
  richError: 'you, on the richest display',
  gap: (deck: string, bars: string, low: string, high: string) =>
    `On ${deck} you are off by ${bars} bars more than on the richest display (95 % interval ${low} to ${high}).`,
  gapUnknown: (deck: string) => `Not enough answers yet to compare ${deck} with the richest display.`,
  strongest: 'Strongest',
  weakest: 'Most to gain',
  kinds: 'By kind of section',
  kindRow: (rate: string, low: string, high: string, count: number) =>
    `${rate} right (${low} to ${high}), ${plural(count, 'answer', 'answers')}`,
  forget: 'What you would still know',
  forgetAxis: 'Share you would get right',
  inDays: 'Days from now',
  calibration: 'How sure against how right',
  calibrationHint: 'Points on the line: you are as right as you feel. Below it: surer than right.',
  sureAxis: 'How sure you said',
  rightAxis: 'Share that was right',
  table: 'The same as a table',
  csv: 'Save all answers as CSV',
  handsCsv: 'Save all hand rounds as CSV',
  deck: 'Deck',
} as const;

export const LETTERS = ['A', 'B', 'C', 'D', 'E', 'F'];
