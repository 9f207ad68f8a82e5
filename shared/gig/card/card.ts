/** Everything that the booth card prints, as plain data: what it says is decided here, how it looks elsewhere. */
import type { DisplayColumns } from '../../display/columns.ts';
import { overviewColumns } from '../../display/model.ts';
import { mainTempo } from '../../grid/grid.ts';
import { cuesOf, inOrder } from '../../markers/marker.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import { decksOf, linkedDecks } from '../check/decks.ts';
import type { Finding } from '../check/finding.ts';
import type { TrackCheck } from '../check/track-check.ts';
import type { Booth, GigSet, SetEntry, SetTrack } from '../types.ts';
import { type BarBeat, barAt } from './bars.ts';
import { remindersFor } from './reminders.ts';

/** Findings named on the card of a track; the rest is counted. */
export const MOST_WARNINGS = 2;

export interface CardPoint {
  /** s */
  time: number;
  /** null without a grid */
  place: BarBeat | null;
  name: string;
}

export interface CardCue extends CardPoint {
  slot: number;
  /** `#rrggbb`, or null: none chosen, or the deck shows one colour for all. */
  colour: string | null;
  /** Bank that it is on, from 1. */
  bank: number;
}

export interface CardMark extends CardPoint {
  /** The deck shows it; else only the card does. */
  shown: boolean;
}

export interface CardTrack {
  entryId: string;
  /** Place in the set, from 1. */
  number: number;
  title: string;
  artist: string;
  /** beats per minute, or null */
  tempo: number | null;
  /** As the analysis has it, else the tag; null: not known. */
  key: string | null;
  /** s; null: not in the library */
  duration: number | null;
  mixIn: CardPoint | null;
  mixOut: CardPoint | null;
  /** Those in slots that the worst deck has, in their order. */
  cues: CardCue[];
  /** Hot cues that the worst deck does not have. */
  cuesBeyond: number;
  /** In order of time. */
  marks: CardMark[];
  note: string;
  /** What hurts most, at most two; findings about the whole set are not repeated here. */
  warnings: Finding[];
  moreWarnings: number;
  /** Overview of the worst deck; null without a pyramid. */
  strip: DisplayColumns | null;
}

export interface CardDeck {
  profileId: string;
  name: string;
  count: number;
  linked: boolean;
  /** At most five lines, what matters most first. */
  reminders: string[];
}

export interface Card {
  setName: string;
  boothName: string;
  boothNotes: string;
  tracks: CardTrack[];
  decks: CardDeck[];
  /** The deck whose slots and strip the card shows; null where no profile of the booth is at hand. */
  worstDeck: { profileId: string; name: string } | null;
}

/** The overview of a track on a deck, for `cardOf`; null without a pyramid. */
export function stripOf(
  { pyramid, duration }: Pick<SetTrack, 'pyramid' | 'duration'>,
  profile: DeckProfile,
): DisplayColumns | null {
  return pyramid && overviewColumns({ pyramid, duration }, profile);
}

/**
 * The card of tracks that were checked one by one.
 * @param checks by the track's id
 * @param strips on the booth's poorest deck, by the track's id
 * @param found the findings of these checks
 */
export function cardOf(
  set: GigSet,
  checks: ReadonlyMap<string, TrackCheck>,
  strips: ReadonlyMap<string, DisplayColumns>,
  booth: Booth,
  profiles: readonly DeckProfile[],
  found: readonly Finding[],
): Card {
  const here = decksOf(booth, profiles);
  const worst = here.profiles.at(0) ?? null;
  const byEntry = new Map<string, Finding[]>();
  for (const finding of found) {
    // What is so of many tracks is a reminder of the deck, not a warning of the track; but for look-alikes.
    if (finding.entryIds.length !== 1 && finding.key !== 'names-alike') continue;
    for (const entryId of finding.entryIds) {
      const warnings = byEntry.get(entryId);
      if (warnings) warnings.push(finding);
      else byEntry.set(entryId, [finding]);
    }
  }
  return {
    setName: set.name,
    boothName: booth.name,
    boothNotes: booth.notes,
    tracks: set.entries.map((entry, i) => {
      const check = entry.trackId === null ? undefined : checks.get(entry.trackId);
      const warnings = byEntry.get(entry.id) ?? [];
      return {
        number: i + 1,
        ...cardTrack(entry, check, worst),
        warnings: warnings.slice(0, MOST_WARNINGS),
        moreWarnings: Math.max(0, warnings.length - MOST_WARNINGS),
        strip: (entry.trackId === null ? undefined : strips.get(entry.trackId)) ?? null,
      };
    }),
    decks: here.decks.map(({ profile, count, linked }) => ({
      profileId: profile.id,
      name: profile.name,
      count,
      linked,
      reminders: remindersFor(profile, linked && linkedDecks(here) > 1),
    })),
    worstDeck: worst && { profileId: worst.id, name: worst.name },
  };
}

function cardTrack(
  entry: SetEntry,
  check: TrackCheck | undefined,
  worst: DeckProfile | null,
): Omit<CardTrack, 'number' | 'warnings' | 'moreWarnings' | 'strip'> {
  const track = check?.track;
  const point = (time: number, name = ''): CardPoint => ({
    time,
    place: track ? barAt(track.grid, time) : null,
    name,
  });
  const common = {
    entryId: entry.id,
    mixIn: entry.mixIn === null ? null : point(entry.mixIn),
    mixOut: entry.mixOut === null ? null : point(entry.mixOut),
    note: entry.note,
  };
  if (!track) {
    const { title, fileName, artist } = entry;
    const unknown = { tempo: null, key: null, duration: null, cues: [], cuesBeyond: 0, marks: [] };
    return { ...common, ...unknown, title: title || fileName, artist };
  }
  const { slots, buttons, colours } = worst?.hotCues ?? { slots: 0, buttons: 0, colours: 'one' };
  const all = cuesOf(track.markers);
  const cues = all
    .flatMap(({ time, name, slot, colour }): CardCue[] =>
      slot === null || slot > slots
        ? []
        : [
            {
              ...point(time, name),
              slot,
              colour: colours === 'each' ? colour : null,
              bank: buttons ? Math.ceil(slot / buttons) : 1,
            },
          ],
    )
    .sort((a, b) => a.slot - b.slot);
  const marks = inOrder(track.markers).filter(({ kind }) => kind === 'mark');
  const verdicts = worst ? check.decks.get(worst.id)?.verdicts : undefined;
  const lost = new Set(verdicts?.filter((v) => v.outcome === 'lost').map((v) => v.markerId));
  return {
    ...common,
    title: entry.nameOnDrive || track.title,
    artist: track.artist ?? '',
    tempo: mainTempo(track.grid),
    key: track.key?.name ?? track.tags.key,
    duration: track.duration,
    cues,
    cuesBeyond: all.length - cues.length,
    marks: marks.map(({ id, time, name }) => ({ ...point(time, name), shown: !lost.has(id) })),
  };
}
