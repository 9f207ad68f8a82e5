/** Two decks' beats as each read-out shows them: reduced to the columns or blocks that it has. */
import type { DeckProfile } from '../profile/schema.ts';
import { aroundPlayhead, withoutClock } from './pictures.ts';
import type { DrillTrack, PhasePicture, PhaseTick, Strip } from './types.ts';

/** Part of the screen's width that a read-out of ticks takes. Estimate. */
export const TICKS_SHARE = 1 / 4;
/** Bars that it shows, the playhead in the middle. Estimate. */
export const TICKS_BARS = 2;
/** Blocks of one bar. */
export const BLOCKS = 4;
/** Stills of a moving read-out per beat: what differs by less cannot be seen in it. Estimate. */
export const FRAMES_PER_BEAT = 8;
/** Columns by which two ticks or waveforms must lie apart to be seen to. Estimate. */
export const LEAST_COLUMNS_APART = 2;

/** A deck that plays: which track, and where. */
export interface Playing {
  track: DrillTrack;
  /** s */
  time: number;
  /** Beats since the bar began, 0 to beats per bar. */
  beatInBar: number;
  beatSeconds: number;
}

/** The least number of beats apart that the deck's read-out shows, or Infinity where it has none. */
export function leastOffset(deck: DeckProfile, beatSeconds: number, beatsPerBar: number): number {
  switch (deck.phase.readout) {
    case 'none':
      return Infinity;
    case 'four-blocks':
      return 1 / FRAMES_PER_BEAT;
    case 'bar-beat-ticks':
      return (LEAST_COLUMNS_APART * TICKS_BARS * beatsPerBar) / ticksColumns(deck);
    case 'stacked-waveforms': {
      const column = deck.waveform.zoomSeconds[0] / deck.screen.columns;
      return (LEAST_COLUMNS_APART * column) / beatSeconds;
    }
  }
}

/** Width of a read-out of ticks, columns. */
export const ticksColumns = (deck: DeckProfile): number => Math.round(deck.screen.columns * TICKS_SHARE);

/**
 * What the deck shows of itself and of the other one, whose tempo was brought to its own. null where the deck has no
 * read-out of the phase.
 */
export function phasePicture(deck: DeckProfile, here: Playing, other: Playing): PhasePicture | null {
  const { readout } = deck.phase;
  const { beatsPerBar } = here.track.analysis.grid;
  if (readout === 'none') return null;
  if (readout === 'bar-beat-ticks') {
    const columns = ticksColumns(deck);
    const ticks = ({ beatInBar }: Playing) => ticksAround(beatInBar, beatsPerBar, columns);
    return { readout, columns, here: ticks(here), other: ticks(other) };
  }
  if (readout === 'four-blocks') {
    const frames = Array.from({ length: beatsPerBar * FRAMES_PER_BEAT }, (_, frame) => {
      const block = ({ beatInBar }: Playing) => blockAt(beatInBar, frame, beatsPerBar);
      return { here: block(here), other: block(other) };
    });
    return { readout, secondsPerFrame: here.beatSeconds / FRAMES_PER_BEAT, frames };
  }
  const mine = stacked(deck, here, 1);
  const theirs = stacked(deck, other, other.beatSeconds / here.beatSeconds);
  return mine && theirs && { readout, here: mine, other: theirs };
}

/** Ticks of the beats around the playhead, which stands in the middle. */
export function ticksAround(beatInBar: number, beatsPerBar: number, columns: number): PhaseTick[] {
  const perBeat = columns / (TICKS_BARS * beatsPerBar);
  const ticks: PhaseTick[] = [];
  const reach = (TICKS_BARS * beatsPerBar) / 2;
  for (let beat = Math.ceil(beatInBar - reach); beat <= beatInBar + reach; beat++) {
    const column = Math.floor(columns / 2 + (beat - beatInBar) * perBeat);
    if (column < 0 || column >= columns) continue;
    ticks.push({ column, kind: beat % beatsPerBar === 0 ? 'downbeat' : 'beat' });
  }
  return ticks;
}

/** The lit block, `frame` frames on. Both decks are looked at on the same instants, so only the offset in whole frames is seen. */
export function blockAt(beatInBar: number, frame: number, beatsPerBar: number): number {
  const frames = beatsPerBar * FRAMES_PER_BEAT;
  const at = (((Math.floor(beatInBar * FRAMES_PER_BEAT + 1e-6) + frame) % frames) + frames) % frames;
  return Math.floor((at * BLOCKS) / frames);
}

/** @param stretch seconds of the track in one second of the screen */
function stacked(deck: DeckProfile, { track, time }: Playing, stretch: number): Strip | null {
  const { zoomSeconds, kinds } = deck.waveform;
  if (!zoomSeconds.length) return null;
  const visible = zoomSeconds[0] * stretch;
  const stretched = { ...deck, waveform: { ...deck.waveform, kinds, zoomSeconds: [visible] } };
  const strip = aroundPlayhead(track, stretched, time, visible);
  if (!strip) return null;
  const { columns, markColumn } = withoutClock(strip, false);
  return {
    markColumn,
    columns: {
      ...columns,
      secondsPerColumn: zoomSeconds[0] / deck.screen.columns,
      gridLines: columns.gridLines.map((line) => ({ ...line, time: line.time / stretch })),
    },
  };
}
