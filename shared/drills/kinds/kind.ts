/** What each kind of drill is made of. */
import type { DeckProfile } from '../../profile/schema.ts';
import { barsFrom, barSecondsAt, beatSecondsAt } from '../structure.ts';
import type {
  Doubt,
  DrillKind,
  DrillTrack,
  Excerpt,
  Held,
  KeySection,
  Random,
  SectionKind,
  Shown,
  Strip,
} from '../types.ts';

/** Something in one track that can be asked about. */
export interface Place {
  track: DrillTrack;
  section: SectionKind;
  /** What its key says: `section` where missing. */
  keySection?: KeySection;
  /** s */
  time: number;
  /** Places are drawn evenly from the groups first, so that no answer is likelier than another. */
  group: string | number;
  /** Numbers that the question or the answer needs. */
  params: Record<string, number>;
}

export interface Context {
  /** The deck that is trained: it decides what is asked. */
  deck: DeckProfile;
  /** The deck that is drawn: the same, or the richest for a baseline. */
  shownOn: DeckProfile;
  rich: DeckProfile;
  /** Tracks that are sure enough for this kind, to draw other choices from. */
  tracks: readonly DrillTrack[];
  random: Random;
}

export interface Made {
  shown: Shown;
  /** What could be played with it; whether it is, the session says. */
  sound: Excerpt | null;
  held: Held;
}

export interface Drill {
  kind: DrillKind;
  /** Doubts that a track must not have. */
  doubts: readonly Doubt[];
  /** `optional`: what is heard does not give the answer away. */
  sound: 'always' | 'optional' | 'never';
  /** Whether the richest display's version of it says what the person could do at best. */
  baseline: boolean;
  canAsk(deck: DeckProfile, rich: DeckProfile): boolean;
  /** @param tracks all tracks that are sure enough, this one among them */
  places(track: DrillTrack, deck: DeckProfile, tracks: readonly DrillTrack[]): Place[];
  /** null when the place cannot be asked about on these displays after all. */
  make(place: Place, context: Context): Made | null;
}

/** Bars of an excerpt. */
export const EXCERPT_BARS = 4;

export function excerpt(track: DrillTrack, time: number, bars: number): Excerpt {
  const other = barsFrom(track, time, bars);
  const clip = (t: number) => Math.min(Math.max(0, t), track.analysis.duration);
  return {
    trackId: track.id,
    startTime: clip(Math.min(time, other)),
    endTime: clip(Math.max(time, other)),
  };
}

export const noPicture: Omit<Shown, 'question' | 'ask'> = {
  main: null,
  options: [],
  phase: null,
  lengthSeconds: null,
};

/** What is held back, with what is not said left empty. */
export function held(
  place: Place,
  strip: Strip | null,
  view: Held['view'],
  rest: Pick<Held, 'answer' | 'chance'> & Partial<Held>,
): Held {
  const { track, time } = place;
  return {
    trackId: track.id,
    time,
    barSeconds: barSecondsAt(track, time) ?? 0,
    beatSeconds: beatSecondsAt(track, time) ?? 0,
    columnSeconds: strip?.columns.secondsPerColumn ?? 0,
    options: [],
    offsetBeats: null,
    view,
    ...rest,
  };
}
