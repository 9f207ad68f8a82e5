/** What is true of a rendered track: where its beats, bars and sections were put. */
import type { SectionLabel } from '../shared/analysis.ts';
import type { BeatGrid, GridSegment } from '../shared/grid/grid.ts';

export interface TruthSection {
  label: SectionLabel;
  /** s */
  startTime: number;
  endTime: number;
  bars: number;
}

export interface Truth {
  /** s of audio */
  duration: number;
  kind: 'constant' | 'variable';
  /** Beats per minute: the tempo, or for a variable one its mean over all beats. */
  bpm: number;
  beatsPerBar: number;
  /** Place of the first beat within its bar: 0 for a downbeat, 2 for a pickup of two beats in four. */
  firstBeatInBar: number;
  /** Bars from the first beat's bar to the first start of an 8-bar phrase, or null without phrases. */
  phraseOffsetBars: number | null;
  /** s: every beat of the straight grid, on the first sample of the drum that is played there */
  beats: number[];
  /** s: the beats that start a bar */
  downbeats: number[];
  /** s: the downbeats that start an 8-bar phrase */
  phrases: number[];
  /** Beat number, its time and the tempo from there on. */
  tempoMap: GridSegment[];
  /** Share of each pair of sixteenths that the first one takes: 0.5 is straight. */
  swing: number;
  sections: TruthSection[];
  /** For instance `A minor`, or null where nothing is pitched. */
  key: string | null;
}

/** The ground truth in the form of a beat grid, for code that wants one. */
export function truthGrid(truth: Truth): BeatGrid {
  return {
    kind: truth.kind,
    segments: truth.tempoMap,
    beatsPerBar: truth.beatsPerBar,
    firstBeatInBar: truth.firstBeatInBar,
    phraseOffsetBars: truth.phraseOffsetBars,
    endTime: truth.duration,
    confidence: 1,
    downbeatConfidence: 1,
    regions: [{ startTime: 0, endTime: truth.duration, confidence: 1 }],
  };
}
