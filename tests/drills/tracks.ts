/** Tracks with a form, made of numbers: levels by section, a grid, and names. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import type { DrillTrack, Shown } from '../../shared/drills/types.ts';
import { timeOfBeat } from '../../shared/grid/grid.ts';
import type { EditedSection } from '../../shared/sections/edit.ts';
import { constantGrid, pyramidOf, sequence } from '../display/tracks.ts';
import { shippedDeck } from '../profiles/files.ts';

export const wide = shippedDeck('wide-touch');
export const small = shippedDeck('small-touch');
export const strip = shippedDeck('touch-strip');
export const poor = shippedDeck('overview-only');
/** The shipped decks, richest first. */
export const DECKS = [wide, small, strip, poor];

/** Bars and levels (bass, middle, treble) of the parts of a track. */
const FORM: [label: string, bars: number, levels: [number, number, number]][] = [
  ['intro', 16, [0.02, 0.25, 0.2]],
  ['build', 8, [0.02, 0.35, 0.5]],
  ['drop', 24, [0.8, 0.6, 0.5]],
  ['breakdown', 16, [0.02, 0.4, 0.1]],
  ['drop', 24, [0.85, 0.65, 0.6]],
  ['outro', 16, [0.5, 0.2, 0.3]],
];

export interface Made {
  seed?: number;
  bpm?: number;
  id?: string;
  analysis?: Partial<DrillTrack['analysis']>;
  track?: Partial<DrillTrack>;
  /** Order of the bands; default bass, middle, treble. */
  bands?: [number, number, number];
}

const HOP = 0.01;
const FIRST_BEAT = 0.1;

/** A track of this form with a kick on every beat where it has bass, and a texture of its own. */
export function track({
  seed = 1,
  bpm = 128,
  id,
  analysis,
  track: more,
  bands = [0, 1, 2],
}: Made = {}): DrillTrack {
  const beat = 60 / bpm;
  const bars = FORM.reduce((sum, [, n]) => sum + n, 0);
  const duration = FIRST_BEAT + bars * 4 * beat;
  const grid = constantGrid(bpm, duration);
  let bar = 0;
  const sections: EditedSection[] = FORM.map(([label, n], i) => {
    const startTime = i ? timeOfBeat(grid, bar * 4) : 0;
    bar += n;
    const endTime = i === FORM.length - 1 ? duration : timeOfBeat(grid, bar * 4);
    return { startTime, endTime, label, strength: 0.8, why: '', energy: 1 };
  });
  const next = sequence(seed);
  const texture = Array.from({ length: 64 }, () => 0.8 + 0.4 * next());
  const levelAt = (layer: number, i: number) => {
    const time = (i + 0.5) * HOP;
    const at = Math.max(0, (time - FIRST_BEAT) / beat);
    const part = sections.findLastIndex((s) => s.startTime <= time);
    const pulse = Math.exp(-6 * (at - Math.floor(at)));
    const of = (band: number) => {
      const level = FORM[Math.max(0, part)][2][band] * texture[(Math.floor(at * 2) * 3 + band) % 64];
      return Math.min(1, band === 0 ? level * pulse : level);
    };
    const peak = layer < 3 ? of(bands[layer]) : Math.min(1, Math.max(of(0), of(1), of(2)));
    return { peak, rms: peak * 0.6 };
  };
  const pyramid: TrackAnalysis['pyramid'] = pyramidOf(duration, levelAt, HOP);
  return {
    id: id ?? `track-${seed}`,
    title: `Pewter Semaphore ${seed}`,
    analysis: { duration, pyramid, silent: false, partial: null, grid, sections, ...analysis },
    gridByHand: false,
    sectionsByHand: false,
    ...more,
  };
}

/** Six tracks with tempi near each other. */
export const LIBRARY: DrillTrack[] = [124, 126, 127, 128, 130, 131].map((bpm, i) =>
  track({ seed: i + 1, bpm }),
);

/** What is drawn, as text. */
export const printed = (shown: Shown): string =>
  JSON.stringify(shown, (_key, value: unknown) =>
    ArrayBuffer.isView(value) ? [...(value as Uint8Array)] : value,
  );
