/** A track as data: what the scenario says and the arranger plays. */
import type { SectionLabel } from '../../shared/analysis.ts';
import type { Key } from './harmony.ts';
import type { Part } from './style.ts';
import type { StyleName } from './styles/index.ts';
import type { Drift } from './tempo.ts';

/** Where in a section a part plays, and how loud. */
export interface Presence {
  /** Level, linear; default 1 */
  gain?: number;
  /** First bar and the bar after the last, counted in the section; default all of it */
  from?: number;
  to?: number;
}

export interface SectionSpec {
  label: SectionLabel;
  /** A multiple of 8 */
  bars: number;
  /** `true` for all of the section at full level */
  parts: Partial<Record<Part, true | Presence>>;
  /** A low-pass over the music bus that moves from the section's start to its end, Hz */
  sweep?: { fromHz: number; toHz: number };
  /** Beats at the section's end in which all but rolls, risers and echoes hold their breath */
  stopBeats?: number;
}

export interface TrackSpec {
  /** File name without its ending */
  id: string;
  title: string;
  artist: string;
  /** Record label */
  label: string;
  genre: string;
  year: number;
  style: StyleName;
  seed: number;
  tempo: { bpm: number } | { drift: Drift };
  /** s of silence before the first beat */
  silence: number;
  /** Beats before the first bar: drum sticks that count in, or the end of a fill */
  pickup: { beats: number; instrument: string };
  /** Share of each pair of sixteenths that the first one takes */
  swing: number;
  key: Key;
  /** Scale steps of the chords, one a bar (or held: repeat it) */
  progression: number[];
  /** Drive into the final clipper: more is denser */
  drive: number;
  sections: SectionSpec[];
}

export const BEATS_PER_BAR = 4;
export const BARS_PER_PHRASE = 8;
