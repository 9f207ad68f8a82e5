/** What the deck does, in words: read from the state of a drill. */
import { beatAtTime, mainTempo } from '../../../shared/grid/grid.ts';
import { DROP_AHEAD } from '../../../shared/behaviour/drills/deck-drills.ts';
import type { Note } from '../../../shared/behaviour/drills/deck-machine.ts';
import { PRACTICE_TITLES } from '../../../shared/behaviour/drills/list-drill.ts';
import { listed, type ListState } from '../../../shared/behaviour/drills/list-model.ts';
import type { ListenBooth } from '../../../shared/behaviour/drills/listen-model.ts';
import type { DrillId } from '../../../shared/behaviour/drills/machine.ts';
import { PRACTICE_TRACK } from '../../../shared/behaviour/drills/practice-track.ts';
import { missingCues } from '../../../shared/behaviour/hot-cues.ts';
import { beatsIn } from '../../../shared/behaviour/loops.ts';
import { activeLoop, positionAt, rateOf } from '../../../shared/behaviour/movement.ts';
import type { DeckState } from '../../../shared/behaviour/state.ts';
import { gridOf } from '../../../shared/behaviour/steps.ts';
import type { DeckProfile } from '../../../shared/profile/schema.ts';
import { words } from './words.ts';

const { state: say } = words;
const BEATS_PER_BAR = 4;
/** A turn that comes more often than three times a second is not drawn (WCAG 2.3.1). */
const QUICKEST_TURN = 1 / 3;
/** A rounding below a beat counts as on it. */
const HAIR = 1e-6;

export interface Line {
  label: string;
  value: string;
}

export interface DeckView {
  deck: DeckState;
  note: Note;
}
export interface ListView {
  list: ListState;
  /** Where two decks stand beside the list. */
  booth?: ListenBooth;
}
type Seen = DeckView | ListView;

/** States of the drills' machines are one of these two. */
export const isList = (state: unknown): state is ListView => (state as Seen) && 'list' in (state as Seen);
export const isDeck = (state: unknown): state is DeckView => (state as Seen) && 'deck' in (state as Seen);

/** Where the playhead is in what turns: the loop, else the bar. Null where nothing turns, or too quickly to draw. */
export function turnOf(deck: DeckState): { share: number; seconds: number } | null {
  const grid = gridOf(deck);
  const rate = rateOf(deck);
  if (!grid || rate <= 0) return null;
  const position = positionAt(deck);
  const loop = activeLoop(deck);
  if (loop && position >= loop.start && position < loop.end) {
    const length = loop.end - loop.start;
    return length / rate < QUICKEST_TURN
      ? null
      : { share: (position - loop.start) / length, seconds: length / rate };
  }
  const beat = beatAtTime(grid, position) + HAIR;
  const bpm = mainTempo(grid);
  if (bpm === null) return null;
  return {
    share: (((beat % BEATS_PER_BAR) + BEATS_PER_BAR) % BEATS_PER_BAR) / BEATS_PER_BAR,
    seconds: (BEATS_PER_BAR * 60) / bpm / rate,
  };
}

/** Number of the beat in the loop in force, from 1; null without one. */
export function beatInLoop(deck: DeckState): number | null {
  const grid = gridOf(deck);
  const loop = activeLoop(deck);
  if (!grid || !loop) return null;
  const into = beatAtTime(grid, positionAt(deck)) - beatAtTime(grid, loop.start);
  return Math.max(1, Math.floor(into + HAIR) + 1);
}

function heard(deck: DeckState): Line[] {
  const grid = gridOf(deck);
  if (!grid || rateOf(deck) <= 0) return [];
  const inLoop = beatInLoop(deck);
  const value =
    inLoop !== null && deck.loop
      ? say.inLoop(inLoop, say.loopOf(beatsIn(deck, deck.loop) ?? 0))
      : say.beat((Math.floor(beatAtTime(grid, positionAt(deck)) + HAIR) % BEATS_PER_BAR) + 1, BEATS_PER_BAR);
  return [{ label: say.heard, value }];
}

/** Whether the deck plays, stands, loads or is empty. */
export function deckWords(deck: DeckState): string {
  const { track, loading, now } = deck;
  if (loading) return say.loading(loading.track.name, Math.max(0, loading.until - now));
  if (!track) return say.empty;
  if (deck.savingLoop) return say.saving;
  return rateOf(deck) === 0 ? say.stands(track.name) : say.plays(track.name);
}

/** The loop in force, or how far the setting of one is. */
export function loopWords(deck: DeckState): string {
  const { loop, loopIn } = deck;
  if (loop?.active) {
    const beats = loop.beats ?? beatsIn(deck, loop);
    if (loop.beats !== null) return say.loopOf(loop.beats);
    return beats === null ? say.loopByHand : `${say.loopByHand}, ${say.loopOf(beats)}`;
  }
  // The start of a loop that was left waits for no end.
  return loopIn === null || loopIn === loop?.start ? say.loopOff : say.loopStart;
}

/** Quantise and its menu; none where the deck has none. */
export function quantiseLines({ quantise: q, menu }: DeckState, { quantise: has }: DeckProfile): Line[] {
  if (!has.steps.length) return [];
  const lines = [{ label: say.quantise, value: q.on ? say.quantiseOn(q.step) : say.off }];
  if (has.setIn !== 'menu') return lines;
  const entry = menu === null ? null : menu === 0 ? say.off : say.loopOf(has.steps[menu - 1]);
  return [...lines, { label: say.menu, value: entry === null ? say.menuClosed : say.menuOpen(entry) }];
}

/** Beats until the drop, never below 0. @param seconds of the drill's clock */
export function beatsToDrop(seconds: number): number {
  const bpm = mainTempo(PRACTICE_TRACK.grid) ?? 0;
  return Math.max(0, DROP_AHEAD - (seconds * bpm) / 60);
}

function deckLines({ deck, note }: DeckView, drill: DrillId, profile: DeckProfile, seconds: number): Line[] {
  const common = [{ label: say.deck, value: deckWords(deck) }];
  const loop = { label: say.loop, value: loopWords(deck) };
  switch (drill) {
    case 'reach-slot':
      return [
        ...common,
        { label: say.bank, value: say.of(deck.bank, profile.hotCues.banks) },
        ...heard(deck),
      ];
    case 'recall-before-drop': {
      const own = profile.hotCues.slots - missingCues(deck, profile).length;
      return [
        ...common,
        { label: say.left, value: String(Math.ceil(beatsToDrop(seconds) - HAIR)) },
        { label: say.recall, value: say.recallPhase[deck.recall.phase] },
        { label: say.cues, value: say.of(own, profile.hotCues.slots) },
      ];
    }
    case 'shorten-loop':
      return [...common, loop, ...heard(deck), ...quantiseLines(deck, profile)];
    case 'two-loops':
      return [...common, loop, ...heard(deck), { label: say.goal, value: say.of(note.stage, 2) }];
    default:
      return [
        ...common,
        { label: say.drive, value: deck.drive === 'in' ? say.driveIn : say.drivePulled },
        loop,
        ...heard(deck),
        ...(note.error ? [{ label: say.silent, value: words.seconds(note.error) }] : []),
      ];
  }
}

/** Titles on the screen of the deck now, cut as it cuts them. */
export function rowsOf({ list }: ListView, profile: DeckProfile): { title: string; here: boolean }[] {
  const { rows, titleCharacters } = profile.list;
  return listed(PRACTICE_TITLES, list)
    .slice(list.top, list.top + rows)
    .map((title, i) => ({ title: title.slice(0, titleCharacters), here: list.top + i === list.cursor }));
}

function boothLines({ onAir, offAir, offAirPlays, headphones, fromList }: ListenBooth): Line[] {
  const other = offAir === null ? say.empty : offAirPlays ? say.plays(offAir) : say.waiting(offAir);
  const heard = headphones === 'on-air' ? onAir : offAirPlays ? offAir : null;
  const ears = fromList ? say.fromList(fromList) : heard ? `“${heard}”` : say.silence;
  return [
    { label: say.onAir, value: say.plays(onAir) },
    { label: say.offAir, value: other },
    { label: say.headphones, value: ears },
  ];
}

function listLines(view: ListView, profile: DeckProfile): Line[] {
  const { query } = view.list;
  const chosen = rowsOf(view, profile).find(({ here }) => here)?.title ?? say.none;
  const lines = [{ label: say.chosen, value: chosen }];
  if (view.booth) return [...lines, ...boothLines(view.booth)];
  if (!profile.list.textSearch) return lines;
  return [{ label: say.search, value: query === null ? say.closed : say.typed(query) }, ...lines];
}

/**
 * @param state of the drill's machine
 * @param seconds of the drill's clock
 */
export function readOut(state: unknown, drill: DrillId, profile: DeckProfile, seconds: number): Line[] {
  if (isList(state)) return listLines(state, profile);
  return isDeck(state) ? deckLines(state, drill, profile, seconds) : [];
}
