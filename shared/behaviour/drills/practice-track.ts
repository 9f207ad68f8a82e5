/** The track that the hand drills are played on, unless another one is given; invented. */
import { noGrid } from '../../grid/grid.ts';
import type { DeckTrack } from '../track.ts';

const BPM = 125;
const BEAT = 60 / BPM;
const DURATION = 384 * BEAT;

const make = (id: string, name: string, places: readonly number[]): DeckTrack => ({
  id,
  name,
  duration: DURATION,
  grid: {
    ...noGrid(DURATION),
    kind: 'constant',
    segments: [{ startBeat: 0, startTime: 0, bpm: BPM }],
    phraseOffsetBars: 0,
    confidence: 1,
    downbeatConfidence: 1,
  },
  cues: places.map((beat, i) => ({ slot: i + 1, time: beat * BEAT, name: `Cue ${i + 1}` })),
  metadataItems: places.length,
});

/** 125 beats per minute, eight cues at starts of phrases. */
export const PRACTICE_TRACK = make('practice', 'Quay Light', [0, 32, 64, 128, 160, 192, 256, 320]);
/** The track that was on the deck before; its cues stand elsewhere. */
export const PRACTICE_BEFORE = make('practice-before', 'Second Ferry', [16, 48, 80, 112, 144, 176, 208, 240]);
