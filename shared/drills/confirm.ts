/** "Confirm first": asks about a track that is not sure enough, and turns the answer into a change of the track. */
import type { EditedGrid } from '../grid/edit-model.ts';
import { scaleTempo, turnBars } from '../grid/edit.ts';
import { mainTempo } from '../grid/grid.ts';
import type { DeckProfile } from '../profile/schema.ts';
import type { EditedSection } from '../sections/edit.ts';
import { scrollingStrip } from './pictures.ts';
import { overviewStrip } from './pictures.ts';
import { doubtsOf, isUnfit } from './sureness.ts';
import type { ConfirmItem, ConfirmWord, Doubt, DrillTrack, EditRequest } from './types.ts';

/** Seconds that are shown and played: about eight bars. */
const SECONDS = 16;

/**
 * One question per track that is not sure enough and could be made so, about its first doubt: the later ones hang on
 * it. Tracks without any grid need an editor, not a question, and are left out.
 * @param rich the richest deck: here nothing is to be hidden
 */
export function confirmItems(tracks: readonly DrillTrack[], rich: DeckProfile): ConfirmItem[] {
  return tracks.flatMap((track) => confirmItem(track, rich) ?? []);
}

export function confirmItem(track: DrillTrack, rich: DeckProfile): ConfirmItem | null {
  const [doubt] = doubtsOf(track);
  if (!doubt || isUnfit(track) || mainTempo(track.analysis.grid) === null) return null;
  const startTime = loudestStart(track);
  const endTime = Math.min(track.analysis.duration, startTime + SECONDS);
  const scrolling = doubt === 'sections' ? null : scrollingStrip(track, rich, startTime, endTime, null);
  return {
    id: `confirm/${track.id}/${doubt}`,
    trackId: track.id,
    title: track.title,
    doubt,
    strip: scrolling ?? overviewStrip(track, rich, null),
    sound: { trackId: track.id, startTime, endTime },
    choices: choicesFor(track, doubt, startTime),
  };
}

/** Start of the section with the most energy: there the beat is plainest. */
function loudestStart({ analysis: { sections, duration } }: DrillTrack): number {
  const loudest = sections.reduce<EditedSection | null>((a, b) => (a && a.energy >= b.energy ? a : b), null);
  return Math.min(loudest?.startTime ?? duration / 3, Math.max(0, duration - SECONDS));
}

function choicesFor({ id: trackId }: DrillTrack, doubt: Doubt, time: number): ConfirmItem['choices'] {
  const choice = (word: ConfirmWord, request: EditRequest | null) => ({ word, request });
  const leaveOut = choice('leave-out', null);
  const turn = (beats: number): EditRequest => ({ trackId, action: 'turn-bars', beats });
  const scale = (beats: number, over: number): EditRequest => ({
    trackId,
    action: 'scale-tempo',
    beats,
    over,
  });
  const byHand = (what: 'grid' | 'sections') =>
    choice('by-hand', { trackId, action: 'open-editor', what, time });
  switch (doubt) {
    case 'grid':
      return [
        choice('right', { trackId, action: 'confirm-grid' }),
        choice('half', scale(1, 2)),
        choice('double', scale(2, 1)),
        byHand('grid'),
        leaveOut,
      ];
    case 'downbeat':
      return [
        choice('right', { trackId, action: 'confirm-grid' }),
        choice('beat-later', turn(1)),
        choice('two-beats-later', turn(2)),
        choice('beat-earlier', turn(-1)),
        byHand('grid'),
        leaveOut,
      ];
    case 'sections':
      return [choice('right', { trackId, action: 'confirm-sections' }), byHand('sections'), leaveOut];
  }
}

/** What is to be kept as the person's correction of the track: null where nothing of it changed. */
export interface RequestedChange {
  grid: EditedGrid | null;
  sections: EditedSection[] | null;
}

/**
 * Carries out a request on a track.
 * A tempo that was halved or doubled, and bars that were turned, count as confirmed, since the person has just
 * looked at them.
 * @returns null for `open-editor`, which the screen carries out
 * @throws GridEditFault with a sentence for the person when the grid cannot be changed so (locked, tempo out of bounds)
 */
export function applyRequest(track: DrillTrack, request: EditRequest): RequestedChange | null {
  const { grid, sections } = track.analysis;
  switch (request.action) {
    case 'confirm-grid':
      return { grid: { ...grid }, sections: null };
    case 'confirm-sections':
      return { grid: null, sections: sections.map((section) => ({ ...section, byHand: true })) };
    case 'scale-tempo':
      return { grid: scaleTempo(grid, request), sections: null };
    case 'turn-bars':
      return { grid: turnBars(grid, request.beats), sections: null };
    case 'open-editor':
      return null;
  }
}

/** The track with a change in it, as the drills see it from then on. */
export function withChange(track: DrillTrack, { grid, sections }: RequestedChange): DrillTrack {
  return {
    ...track,
    analysis: {
      ...track.analysis,
      grid: grid ?? track.analysis.grid,
      sections: sections ?? track.analysis.sections,
    },
    gridByHand: track.gridByHand || grid !== null,
    sectionsByHand: track.sectionsByHand || sections !== null,
  };
}
