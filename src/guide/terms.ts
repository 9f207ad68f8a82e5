/**
 * The glossary. Terms of the trade as they are commonly used (common practice, no source); what is our own says so.
 * The letters and numbers of standards stand where they are used.
 */
export interface Term {
  /** Place on the page. */
  id: string;
  /** As it is listed. */
  name: string;
  /** Other words for it, and other forms, that lead here. */
  also?: readonly string[];
  plain: string;
  /** Ids of terms that belong with it. */
  see?: readonly string[];
}

export const TERMS: readonly Term[] = [
  {
    id: 'anchor',
    name: 'Anchor',
    also: ['anchors'],
    plain:
      'A beat that you pinned to a moment in the sound. The grid runs from anchor to anchor, so that it can follow a drummer.',
    see: ['beat-grid'],
  },
  {
    id: 'bank',
    name: 'Bank',
    also: ['banks'],
    plain:
      'A page of cue buttons. With eight slots and four buttons there are two banks, and half of the cues are out of reach until you switch.',
    see: ['hot-cue', 'slot'],
  },
  {
    id: 'bar',
    name: 'Bar',
    also: ['bars'],
    plain: 'A group of beats, four in nearly all club music, that begins with beat one.',
    see: ['beat', 'downbeat', 'phrase'],
  },
  {
    id: 'beat',
    name: 'Beat',
    also: ['beats'],
    plain: 'The pulse that feet follow. At 120 bpm a beat lasts half a second.',
    see: ['tempo', 'bar'],
  },
  {
    id: 'beat-grid',
    name: 'Beat grid',
    also: ['grid', 'grids'],
    plain:
      'The times of all beats of a track. Quantise, loops by length, jumps and sync all lean on it: where it is wrong, they are wrong.',
    see: ['anchor', 'quantise'],
  },
  {
    id: 'beat-jump',
    name: 'Beat jump',
    also: ['beat jumps'],
    plain: 'A leap forward or back by a number of beats while the music goes on.',
  },
  {
    id: 'booth',
    name: 'Booth',
    also: ['booths'],
    plain: 'The place in a club with the decks. Here: a list of the decks that you will meet there.',
    see: ['deck', 'booth-card'],
  },
  {
    id: 'booth-card',
    name: 'Booth card',
    also: ['card'],
    plain:
      'One sheet for the night: each track with its cues, its place to mix in and out, and what to watch on those decks. For paper, for a phone, or as one page.',
  },
  {
    id: 'booth-safe-copy',
    name: 'Booth-safe copy',
    also: ['booth-safe copies'],
    plain: 'A copy of a track in a form that every deck of the booth loads. Your own file stays as it is.',
  },
  {
    id: 'breakdown',
    name: 'Breakdown',
    also: ['breakdowns'],
    plain: 'A part from which the drums, or at least the kick and the bass, are taken away.',
    see: ['drop', 'section'],
  },
  {
    id: 'column',
    name: 'Column',
    also: ['columns'],
    plain:
      'The narrowest upright line that a display draws. All sound that falls into one column becomes one height and one colour; what is shorter is no longer seen.',
    see: ['overview', 'waveform'],
  },
  {
    id: 'contrast',
    name: 'Contrast',
    plain:
      'How far two places of a display differ in height and colour. Boothproof measures it on what a deck paints, to tell whether a change can be seen there.',
  },
  {
    id: 'deck',
    name: 'Deck',
    also: ['decks'],
    plain: 'The machine that plays one track. Here: a model of what a generation of such machines shows.',
    see: ['profile'],
  },
  {
    id: 'downbeat',
    name: 'Downbeat',
    also: ['beat one', 'downbeats'],
    plain: 'The first beat of a bar.',
    see: ['bar'],
  },
  {
    id: 'drill',
    name: 'Drill',
    also: ['drills'],
    plain:
      'A question about a display, or a task for the hands. Drills come back when you are about to forget them.',
  },
  {
    id: 'drop',
    name: 'Drop',
    also: ['drops'],
    plain: 'The moment at which kick and bass come in again, mostly after a breakdown.',
    see: ['breakdown'],
  },
  {
    id: 'fray',
    name: 'Fray',
    also: ['frays'],
    plain: 'Our word: a thread frays where a marker still does its work on a deck, but not as you meant it.',
    see: ['thread', 'verdict'],
  },
  {
    id: 'hot-cue',
    name: 'Hot cue',
    also: ['hot cues', 'cue', 'cues'],
    plain: 'A moment in a track kept on a button: a press jumps there and plays.',
    see: ['slot', 'bank'],
  },
  {
    id: 'key',
    name: 'Key',
    plain:
      'The notes that a track is built on, such as A minor. Tracks in the same or a near key can be laid over one another.',
  },
  {
    id: 'ladder',
    name: 'Ladder',
    plain: 'Our word: the rungs, one per deck, richest on top, on one time axis.',
    see: ['rung'],
  },
  {
    id: 'loop',
    name: 'Loop',
    also: ['loops'],
    plain: 'A stretch that is played again and again until you leave it.',
    see: ['quantise'],
  },
  {
    id: 'loudness',
    name: 'Loudness',
    also: ['LUFS'],
    plain:
      'How loud a track is as a whole, measured as ITU-R BS.1770 says, in LUFS. Nearer to zero is louder.',
    see: ['true-peak'],
  },
  {
    id: 'marker',
    name: 'Marker',
    also: ['markers'],
    plain: 'Anything that you place on a track: a hot cue, a structure mark, a loop.',
    see: ['hot-cue', 'structure-mark', 'loop'],
  },
  {
    id: 'overview',
    name: 'Overview',
    also: ['overviews'],
    plain: 'The narrow picture of the whole track. However close you look it stays as coarse as it is.',
    see: ['column'],
  },
  {
    id: 'phase',
    name: 'Phase',
    plain: 'Where in its beat or bar one deck is against another. In phase, the beats fall together.',
    see: ['sync'],
  },
  {
    id: 'phrase',
    name: 'Phrase',
    also: ['phrases'],
    plain: 'Bars that belong together, mostly four, eight or sixteen. Changes come where phrases begin.',
    see: ['bar', 'section'],
  },
  { id: 'playhead', name: 'Playhead', plain: 'The line at the moment that is being played.' },
  {
    id: 'profile',
    name: 'Profile',
    also: ['profiles'],
    plain:
      'A file that says what a deck shows and does, each value with where it comes from. You can edit one or make your own.',
    see: ['deck'],
  },
  {
    id: 'provenance',
    name: 'Provenance',
    plain: 'Where a value comes from: a published source, common practice, memory, or an estimate.',
  },
  {
    id: 'quantise',
    name: 'Quantise',
    also: ['quantised'],
    plain:
      'Presses are moved to the nearest step of the grid, so that a late finger still lands on the beat.',
    see: ['beat-grid'],
  },
  {
    id: 'recall',
    name: 'Recall',
    plain:
      'How stored hot cues come back when a track is loaded: by themselves, or by hand, one press after the other.',
    see: ['hot-cue'],
  },
  {
    id: 'rung',
    name: 'Rung',
    also: ['rungs'],
    plain: 'Our word: one deck’s picture of the track on the ladder.',
    see: ['ladder'],
  },
  {
    id: 'section',
    name: 'Section',
    also: ['sections'],
    plain: 'A part of a track, such as intro, build-up, drop, breakdown or outro.',
    see: ['phrase'],
  },
  {
    id: 'slip',
    name: 'Slip',
    plain:
      'While you loop or scratch, the track runs on silently; when you let go, you are where you would have been.',
  },
  {
    id: 'slot',
    name: 'Slot',
    also: ['slots'],
    plain:
      'The numbered place that a hot cue is stored in. A deck with fewer slots than you have cues leaves some out.',
    see: ['hot-cue', 'bank'],
  },
  {
    id: 'snapping',
    name: 'Snapping',
    also: ['snap', 'snaps'],
    plain: 'A marker that you place goes to the nearest beat, bar or hit.',
  },
  {
    id: 'soft-proof',
    name: 'Soft-proof',
    also: ['soft-proofs'],
    plain:
      'To show, before the event, what will be left of a picture on a poorer printer, or here of a track on a poorer deck.',
  },
  {
    id: 'structure-mark',
    name: 'Structure mark',
    also: ['structure marks', 'stored marks', 'stored mark', 'mark', 'marks'],
    plain:
      'A mark at a place in the track that is only looked at: it shows where a section begins. Not every deck shows stored marks.',
    see: ['marker'],
  },
  {
    id: 'sync',
    name: 'Sync',
    plain: 'The deck takes over the tempo, and mostly the beat, of another one.',
    see: ['tempo', 'phase'],
  },
  {
    id: 'take-along',
    name: 'Take-along folder',
    also: ['take along', 'folder to take along'],
    plain:
      'Everything for the night in one folder or zip: tracks, playlist, card, markers, and a list of checksums that tells whether all arrived whole.',
  },
  { id: 'tempo', name: 'Tempo', also: ['bpm'], plain: 'Speed, in beats per minute (bpm).', see: ['beat'] },
  {
    id: 'thread',
    name: 'Thread',
    also: ['threads'],
    plain: 'Our word: the line from a marker down through all rungs. It holds, frays or breaks on each deck.',
    see: ['marker', 'verdict', 'fray'],
  },
  {
    id: 'three-band',
    name: 'Three bands',
    also: ['three-band'],
    plain: 'A waveform that draws bass, middle and treble apart.',
    see: ['waveform', 'tint'],
  },
  {
    id: 'tint',
    name: 'Hue by tone',
    also: ['tint'],
    plain: 'A waveform with one hue per column for the tone as a whole.',
    see: ['three-band', 'waveform'],
  },
  {
    id: 'true-peak',
    name: 'True peak',
    plain: 'The highest level between the samples, which a converter has to pass. Above zero it may crackle.',
    see: ['loudness'],
  },
  {
    id: 'undo',
    name: 'Undo and bring back',
    plain:
      'Undo takes back the last change, of a track’s grid, sections and markers step after step, also after a reload. What was deleted from a list (a track, a set, a booth, a recording, a deck) is brought back where its deletion is told.',
  },
  {
    id: 'verdict',
    name: 'Verdict',
    also: ['verdicts'],
    plain: 'Our word: what becomes of one marker on one deck, with the reason and what to do.',
    see: ['thread'],
  },
  {
    id: 'waveform',
    name: 'Waveform',
    also: ['waveforms'],
    plain: 'The picture of a sound: time from left to right, level as height.',
    see: ['overview', 'column'],
  },
  {
    id: 'zoom-step',
    name: 'Zoom step',
    also: ['zoom steps'],
    plain: 'How many seconds of the waveform a deck shows at once; most have a few steps to choose from.',
  },
];
