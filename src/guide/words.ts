/** What the guides say: the tour, the explanation of a deck, the frame of the glossary. Terms stand in `terms.ts`. */
export const words = {
  tour: {
    title: 'First steps',
    step: (n: number, of: number) => `Step ${n} of ${of}`,
    next: 'Next',
    back: 'Back',
    skip: 'Skip the tour',
    done: 'Done',
    again: 'Show the first steps again',
    steps: [
      {
        id: 'ladder',
        title: 'One track, as each deck shows it',
        text: 'Every rung is one generation of decks. Play, scroll and zoom: all move together. Each line in words says what that deck no longer shows.',
      },
      {
        id: 'markers',
        title: 'Put your cues in and see what becomes of them',
        text: '“Propose from sections” or the key C places markers. Their threads run down the ladder: they hold, fray or break, and a click says why and what to do.',
      },
      {
        id: 'activities',
        title: 'Then train, and check the night',
        text: 'Mark puts grid and sections right. Train asks you to read the poor displays. Gig checks a set against a booth, prints a card and makes the folder to take along. The glossary is in Help.',
      },
    ],
  },
  deck: {
    button: 'What it shows',
    buttonFor: (name: string) => `What ${name} shows and hides`,
    shows: 'Shows',
    hides: 'Hides',
    source: 'Made from this deck’s profile; every value and where it comes from stands in Decks.',
    kinds: {
      'three-band':
        'Bass, middle and treble have a colour each, so a kick, a voice and a hi-hat can be told apart even where they sound together.',
      tint: 'Each column has one hue for its tone as a whole, from bass to treble.',
      single: 'One colour: the height tells how loud it is, a lighter shade that there is treble.',
    },
    tintHides:
      'Which of several sounds in one column: a bass under a bright voice gives the hue of the mixture.',
    singleHides: 'Bass against middle: a breakdown without bass looks like any quieter part.',
    window: (near: string, far: string, steps: number) =>
      steps === 1
        ? `The waveform scrolls; ${near} s fit on the screen.`
        : `The waveform scrolls; ${near} to ${far} s fit on the screen, in ${steps} zoom steps.`,
    noScrolling:
      'The sound at the playhead: there is no scrolling waveform, only the overview of the whole track.',
    heights: (steps: number) => `Small changes of level: the waveform has ${steps} heights.`,
    grid: {
      'beats-and-bars': 'Beats, and beat one of each bar',
      beats: 'Beats',
      none: '',
    },
    gridPlace: {
      across: 'as lines across the waveform.',
      'edge-marks': 'as short marks at the edge of the waveform.',
      nowhere: 'but nowhere on the waveform.',
    },
    noBars: 'Where a bar begins: all beats look alike.',
    noGrid: 'The beat grid.',
    overview: (columns: number, seconds: string) =>
      `The whole track as an overview of ${columns} columns: in a track of six minutes each stands for ${seconds} s.`,
    overviewKinds: {
      'three-band': 'The overview has the three bands too.',
      tint: 'The overview has a hue for the tone.',
      single: 'The overview is lighter where there is treble.',
      plain: '',
    },
    overviewPlain: 'Tone in the overview: it has one flat colour.',
    overviewHides: (seconds: string) =>
      `In the overview, every change that is shorter than about ${seconds} s.`,
    phase: {
      'stacked-waveforms': 'The other deck’s waveform above its own, so that beats can be laid side by side.',
      'bar-beat-ticks': 'The other deck’s bars and beats as ticks.',
      'four-blocks': 'The other deck’s place in the bar as four blocks.',
      none: '',
    },
    noPhase: 'The beat of the other deck: match by ear.',
    cues: (slots: number, buttons: number) =>
      slots > buttons ? `${slots} hot cues, ${buttons} at a time.` : `${slots} hot cues.`,
    noCues: 'Hot cues: there are none.',
    cuesOneColour: 'Which hot cue is which: all have one colour.',
    cuesByHand: 'Your hot cues, until you load them by hand after the track.',
    marks: (limit: number) => `Stored marks on the waveform, ${limit} at most.`,
    noMarks: 'Stored marks.',
  },
  glossary: {
    title: 'Glossary',
    search: 'Search the glossary',
    found: (count: number) => (count === 1 ? 'One term' : `${count} terms`),
    none: (text: string) => `No term has “${text}” in it. Try a shorter word.`,
    see: 'See also',
  },
} as const;
