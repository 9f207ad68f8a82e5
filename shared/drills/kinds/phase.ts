/** Are these two decks together, or is the other one ahead or behind? */
import type { DeckProfile } from '../../profile/schema.ts';
import { beatAtTime, timeOfBeat } from '../../grid/grid.ts';
import { leastOffset, phasePicture, type Playing } from '../phase.ts';
import { pick } from '../random.ts';
import { beatSecondsAt, kindOfLabel } from '../structure.ts';
import type { DrillTrack } from '../types.ts';
import { type Drill, held, noPicture, type Place } from './kind.ts';

const WORDS = ['behind', 'together', 'ahead'] as const;
/** Beats by which the other deck may be off: from what is just felt to what nobody misses. Estimate. */
const OFFSETS = [1 / 16, 1 / 8, 1 / 4] as const;
/** Bars from the section's start at which either deck stands at least, so that its picture is full of it. */
const BARS_IN = 4;
/** Beats within a bar between which the place is not told apart, so that bars start on a frame of every read-out. */
const PLACES_PER_BEAT = 16;

/** Offsets that the read-out can show. */
const visible = (deck: DeckProfile, beatSeconds: number, beatsPerBar: number): number[] =>
  OFFSETS.filter((offset) => offset >= leastOffset(deck, beatSeconds, beatsPerBar) - 1e-9);

function places(track: DrillTrack): Place[] {
  const { sections, grid } = track.analysis;
  return sections.flatMap((section): Place[] => {
    const bar = barBeatAt(track, section.startTime) + BARS_IN * grid.beatsPerBar;
    const time = timeOfBeat(grid, bar);
    const end = timeOfBeat(grid, bar + BARS_IN * grid.beatsPerBar);
    if (end > section.endTime) return [];
    return [{ track, section: kindOfLabel(section.label), time, group: '', params: {} }];
  });
}

/** Number of the downbeat nearest to `time`. */
function barBeatAt({ analysis: { grid } }: DrillTrack, time: number): number {
  const { beatsPerBar, firstBeatInBar } = grid;
  const bar = Math.round((beatAtTime(grid, time) + firstBeatInBar) / beatsPerBar);
  return bar * beatsPerBar - firstBeatInBar;
}

function playing(track: DrillTrack, time: number, beatInBar: number): Playing {
  const { grid } = track.analysis;
  const at = timeOfBeat(grid, barBeatAt(track, time) + beatInBar);
  return { track, time: at, beatInBar, beatSeconds: beatSecondsAt(track, at) ?? 0 };
}

/** Places of tracks that the deck's least tempo range can bring to this one's tempo; else this track elsewhere. */
function others(here: Place, deck: DeckProfile, tracks: readonly DrillTrack[]): Place[] {
  const range = Math.min(...deck.playback.tempoRangesPercent, 100) / 100;
  const { beatsPerBar } = here.track.analysis.grid;
  const beat = beatSecondsAt(here.track, here.time) ?? 0;
  const fitting = tracks
    .filter((track) => track !== here.track && track.analysis.grid.beatsPerBar === beatsPerBar)
    .flatMap(places)
    .filter(({ track, time }) => Math.abs((beatSecondsAt(track, time) ?? 0) / beat - 1) <= range);
  if (fitting.length) return fitting;
  return places(here.track).filter((place) => place.time !== here.time);
}

export const phaseCompare: Drill = {
  kind: 'phase-compare',
  doubts: ['grid', 'downbeat', 'sections'],
  // Two beats against each other are heard at once.
  sound: 'never',
  baseline: true,
  canAsk: (deck) => deck.phase.readout !== 'none',
  places(track, deck, tracks) {
    const { beatsPerBar } = track.analysis.grid;
    return places(track).filter(
      (place) =>
        visible(deck, beatSecondsAt(track, place.time) ?? 0, beatsPerBar).length > 0 &&
        others(place, deck, tracks).length > 0,
    );
  },
  make(place, { deck, shownOn, tracks, random }) {
    const { track } = place;
    const { beatsPerBar } = track.analysis.grid;
    const beatSeconds = beatSecondsAt(track, place.time) ?? 0;
    const partner = pick(random, others(place, deck, tracks));
    const size = pick(random, visible(deck, beatSeconds, beatsPerBar));
    if (!partner || !size) return null;
    const index = Math.floor(random() * WORDS.length);
    const offsetBeats = (index - 1) * size;
    const beatInBar = Math.floor(random() * beatsPerBar * PLACES_PER_BEAT) / PLACES_PER_BEAT;
    const here = playing(track, place.time, beatInBar);
    const turned = (((beatInBar + offsetBeats) % beatsPerBar) + beatsPerBar) % beatsPerBar;
    const other = playing(partner.track, partner.time, turned);
    const phase = phasePicture(shownOn, here, other);
    if (!phase) return null;
    return {
      shown: {
        ...noPicture,
        question: { key: 'phase-compare', params: {} },
        ask: { by: 'word', words: WORDS },
        phase,
      },
      sound: null,
      held: held(place, phase.readout === 'stacked-waveforms' ? phase.here : null, 'scrolling', {
        answer: { type: 'choice', index },
        chance: 1 / WORDS.length,
        time: here.time,
        offsetBeats,
        options: [
          { trackId: track.id, time: here.time },
          { trackId: partner.track.id, time: other.time },
        ],
      }),
    };
  },
};
