/** Every sentence and label about markers, in one place and ready to translate. */
import type { Importance, MarkerKind } from '../../shared/markers/marker.ts';
import type { Snap } from '../../shared/markers/snap.ts';

const kinds: Record<MarkerKind, string> = { cue: 'Hot cue', mark: 'Structure mark', loop: 'Loop' };
const snaps: Record<Snap, string> = {
  beat: 'On beats',
  half: 'On half beats',
  quarter: 'On quarter beats',
  transient: 'On hits of the sound',
  off: 'Exactly where I put it',
};
const importances: Record<Importance, string> = { 3: 'Needed', 2: 'Useful', 1: 'Nice to have' };
const plural = (count: number, one: string, many: string) => (count === 1 ? one : many);

export const words = {
  kinds,
  snaps,
  importances,
  lane: 'Markers',
  laneLabel: 'Markers on the time axis',
  laneKeys:
    'Left and right move the marker by the snapping step, with Shift by a bar. Up and down go to the marker before or after. Enter puts the playhead on it, Space picks several, Delete removes.',
  laneEmpty:
    'No markers yet. Put the playhead somewhere and press C for a hot cue or K for a structure mark.',
  place: 'A click in the lane places',
  placeNothing: 'nothing',
  snap: 'Snapping',
  loopBeats: 'Loop length in beats',
  cueHere: 'Hot cue here',
  markHere: 'Structure mark here',
  loopHere: 'Loop here',
  propose: 'Propose from sections',
  proposeHint:
    'A structure mark on every section and hot cues on the places a set hangs on; nothing of yours moves',
  panel: 'Markers',
  list: 'Markers of this track',
  pick: (name: string) => `Pick ${name}`,
  pickAll: 'Pick all',
  picked: (count: number) => `${count} picked`,
  kind: 'Kind',
  slot: 'Slot',
  noSlot: 'none',
  slotOf: (name: string) => `Slot of ${name}`,
  name: 'Name',
  nameOf: (what: string) => `Name of the ${what}`,
  time: 'Time',
  bar: 'Bar, beat',
  length: 'Beats',
  lengthOf: (name: string) => `Length of ${name} in beats`,
  importance: 'Importance',
  importanceOf: (name: string) => `Importance of ${name}`,
  colour: 'Colour',
  colourOf: (name: string) => `Colour of ${name}`,
  noColour: 'no colour',
  survives: 'Survives',
  goTo: (name: string) => `Put the playhead on ${name}`,
  remove: (name: string) => `Remove ${name}`,
  removePicked: 'Remove picked',
  earlier: '−1 beat',
  later: '+1 beat',
  shiftLabel: (beats: number) =>
    `${beats < 0 ? '−1 beat: earlier' : '+1 beat: later'} by one beat, the picked markers`,
  shiftAllHint: 'Moves the picked markers; all of them when none is picked',
  unnamed: (kind: MarkerKind, place: string) => `${kinds[kind]} at ${place}`,
  cueName: (slot: number | null, name: string) => (slot === null ? name : `${slot} ${name}`),
  barBeat: (bar: number, beat: number) => `${bar}.${beat}`,

  copyFrom: 'Copy from another track…',
  copyHint:
    'Each marker goes to the same musical place: to the same section where both tracks have one of that name, else to the same distance from the first phrase.',
  copySource: 'From',
  copyAdd: 'Add to the markers here',
  copyReplace: 'Replace the markers here',
  copyOutdated: (title: string) => `${title} must be analysed again before its markers can be copied.`,
  copyNone: 'No other track has markers yet.',
  copyCount: (count: number) => `${count} ${plural(count, 'marker', 'markers')}`,
  close: 'Close',

  table: 'Markers on every deck',
  tableHint: 'What becomes of each marker on each deck of the ladder. Choose a field to read why.',
  tableMarker: 'Marker',
  summary: (holds: number, weakened: number, lost: number) =>
    `${holds} ${plural(holds, 'holds', 'hold')}, ${weakened} weakened, ${lost} lost`,
  verdict: (marker: string, deck: string, outcome: string) => `${marker} on ${deck}: ${outcome}`,
  everythingHolds: 'All of it is there.',
  card: 'What becomes of this marker',
  unmarked: 'Changes without a marker that cannot be seen',
  unmarkedOn: (deck: string, place: string, label: string) =>
    `${label} at ${place}: the change can be seen on the richest deck, not on ${deck}.`,
  addMark: 'Mark it',

  plan: 'Plan slots…',
  planReach: 'Reached by',
  planReached: (decks: number, of: number) => `${decks} of ${of} decks`,
  planHint:
    'The three hot cues that matter most go to the first three slots, which every deck reaches; the order of time is kept where that costs nothing. Nothing changes until you take the plan.',
  planFor: 'Decks of the booth',
  planNoCues: 'This track has no hot cues yet.',
  planBefore: 'Now',
  planAfter: 'Then',
  planTake: 'Take this plan',

  exchange: 'Save and read markers…',
  exchangeFormat: 'As a file beside the track',
  exchangeSave: 'Save this file',
  exchangeInto: 'Save a copy of the audio with markers inside',
  exchangeIntoHint:
    'WAV, AIFF, MP3, FLAC and Ogg can carry markers inside. The copy has the same audio, bit for bit; your file is only read.',
  exchangeSheet: 'with a cue sheet block, too',
  exchangeSheetHint:
    'The cue sheet block is for programs that read no chapters: places to the sample, without names. Some players then show one track as several.',
  exchangeRead: 'Read markers from a file…',
  exchangeReadOwn: 'Read those inside this track',
  exchangeExact: 'Exact: read back here, everything is as it was.',
  exchangeResolution: (seconds: number) =>
    `Other programs see times to ${Math.round(seconds * 1e5) / 100} ms; read back here, everything is as it was.`,
  exchangeSaved: (file: string) => `Saved as ${file}.`,
  exchangeNoAudio: (file: string) => `Give ${file} again first: its audio is not kept here.`,
  exchangeNone: (file: string) => `There are no markers in ${file}.`,
  exchangeAsk: (count: number, file: string) =>
    `${file} has ${count} ${plural(count, 'marker', 'markers')}, and this track has some already. What shall become of them?`,
  exchangeNothing: 'Leave all as it is',

  did: {
    cue: (place: string) => `Hot cue placed at ${place}.`,
    mark: (place: string) => `Structure mark placed at ${place}.`,
    loop: (beats: string, place: string) => `Loop of ${beats} beats placed at ${place}.`,
    proposed: (count: number) => `${count} ${plural(count, 'marker', 'markers')} proposed from the sections.`,
    moved: (name: string, place: string) => `${name} moved to ${place}.`,
    removed: (count: number) => `${count} ${plural(count, 'marker', 'markers')} removed.`,
    changed: (name: string) => `${name} changed.`,
    named: (name: string) => `Marker named ${name || 'nothing'}.`,
    slot: (name: string, slot: number | null) =>
      slot === null ? `${name} has no slot now.` : `${name} is in slot ${slot} now.`,
    length: (name: string, beats: string) => `${name} is ${beats} beats long now.`,
    shifted: (count: number, beats: number) =>
      `${count} ${plural(count, 'marker', 'markers')} one beat ${beats < 0 ? 'earlier' : 'later'}.`,
    copied: (count: number, title: string) =>
      `${count} ${plural(count, 'marker', 'markers')} copied from ${title}.`,
    planned: (count: number) => `${count} ${plural(count, 'cue', 'cues')} moved by the plan.`,
    read: (count: number, file: string) =>
      `${count} ${plural(count, 'marker', 'markers')} read from ${file}.`,
  },
  proposedNone: 'Every section has its markers already.',
  noSections: 'This track has no sections to propose from. Split it into sections first.',
  noRoom: 'A loop of that length would reach past the end of the track.',
  nothingPicked: 'There is no marker to move.',
} as const;
