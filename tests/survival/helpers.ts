/** Tracks, decks and markers for the tests of survival. */
import type { Section, SourceFormat } from '../../shared/analysis.ts';
import { timeOfBeat } from '../../shared/grid/grid.ts';
import type { HotCue, Loop, StructureMark } from '../../shared/markers/marker.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import type { JudgedTrack } from '../../shared/survival/context.ts';
import { constantGrid, type LevelAt, pyramidOf } from '../display/tracks.ts';
import { shippedDeck } from '../profiles/files.ts';

export const wide = shippedDeck('wide-touch');
export const small = shippedDeck('small-touch');
export const strip = shippedDeck('touch-strip');
export const poor = shippedDeck('overview-only');
/** The shipped decks, richest first. */
export const DECKS = [wide, small, strip, poor];

/** A deck with some facts changed. */
export function deck(
  base: DeckProfile,
  changes: {
    [G in keyof DeckProfile]?: DeckProfile[G] extends object ? Partial<DeckProfile[G]> : DeckProfile[G];
  },
): DeckProfile {
  const out: Record<string, unknown> = { ...base };
  for (const [group, change] of Object.entries(changes)) {
    out[group] = change && typeof change === 'object' ? { ...(out[group] as object), ...change } : change;
  }
  return out as DeckProfile;
}

export const WAV: SourceFormat = {
  container: 'wav',
  codec: 'pcm',
  lossless: true,
  sampleRate: 44100,
  channels: 2,
  bitDepth: 16,
  bitrate: null,
};

/** Six minutes: 0.9 s per column of a 400-column overview. */
export const DURATION = 360;
export const BPM = 128;
/** Fine hop of the tracks here, s: four times the usual one, which makes the tests quick. */
export const HOP = 0.02;
/** s per beat at 128 bpm */
export const BEAT = 60 / BPM;
/** A constant grid whose beat 0 is at 0.1 s. */
export const GRID = constantGrid(BPM, DURATION);
export const beat = (n: number): number => timeOfBeat(GRID, n);

export function judged(
  changes: Partial<JudgedTrack> = {},
  levelAt: LevelAt = () => ({ peak: 0, rms: 0 }),
): JudgedTrack {
  const duration = changes.duration ?? DURATION;
  return {
    duration,
    pyramid: pyramidOf(duration, levelAt, HOP),
    grid: GRID,
    source: WAV,
    sections: [],
    ...changes,
  };
}

/** Kick and hats on the beat of `GRID`: bass `before` and then `after` beat `change`, all else alike. */
export const bassChange =
  (change: number, before: number, after: number, middle = 0.4): LevelAt =>
  (layer, i) => {
    const at = (i * HOP - 0.1) / BEAT;
    const pulse = Math.exp(-6 * (at - Math.floor(at)));
    const bass = (at < change - 1e-6 ? before : after) * pulse;
    const peak = [bass, middle, 0.3 * (1 - pulse), Math.max(bass, middle)][layer];
    return { peak, rms: peak * 0.6 };
  };

export const sections = (...starts: number[]): Section[] =>
  starts.map((startTime, i) => ({
    startTime,
    endTime: starts[i + 1] ?? DURATION,
    label: ['intro', 'drop', 'breakdown', 'outro'][i % 4],
    strength: 1,
    why: '',
    energy: 1,
  }));

export const cue = (id: string, time: number, slot: number | null, more: Partial<HotCue> = {}): HotCue => ({
  kind: 'cue',
  id,
  time,
  slot,
  name: '',
  importance: 2,
  colour: null,
  ...more,
});

export const mark = (id: string, time: number, more: Partial<StructureMark> = {}): StructureMark => ({
  kind: 'mark',
  id,
  time,
  name: '',
  importance: 2,
  ...more,
});

/** A loop of a number of beats that starts on a beat. */
export const loop = (id: string, from: number, beats: number, more: Partial<Loop> = {}): Loop => ({
  kind: 'loop',
  id,
  time: beat(from),
  endTime: beat(from + beats),
  beats,
  name: '',
  importance: 2,
  ...more,
});
