/**
 * What share of the set's planned moves can be done in a booth.
 *
 * A planned move is
 * - a mix point (in or out) that is given: it can be done where the place is found by a cue in reach, a mark that is
 *   shown, a change that the deck's picture shows, or because it is the track's first or last bar;
 * - each planned move of an entry, once for each time that it is planned: a stored cue or loop can be done where its
 *   verdict is not `lost`, every other move where the deck has what it takes;
 * - each hot cue and loop that the set needs (importance 3) and that no move names.
 *
 * Any deck may get any track, so a move counts as possible only where it is on every deck of the booth; nothing of a
 * track that a deck does not load is. What cannot be told (a track that is not in the library, a place without a
 * picture, a move that no profile speaks of, a deck without a profile) is counted apart and not in the share.
 */
import type { DeckProfile } from '../../profile/schema.ts';
import type { Booth, GigSet, PlannedMove, SetEntry, SetTrack } from '../types.ts';
import { type BoothDecks, decksOf } from './decks.ts';
import { canBeTold, moveFault } from './features.ts';
import { checkTracks } from './findings.ts';
import { fileReasons } from './of-file.ts';
import type { TrackCheck } from './track-check.ts';

export interface Score {
  /** Moves that can be done on every deck. */
  possible: number;
  /** Moves of which that can be told. */
  planned: number;
  /** Planned moves of which nothing can be told. */
  untold: number;
  /** possible / planned, or null when nothing is planned. */
  share: number | null;
}

/** A marker of this importance is one that the set needs. */
const NEEDED = 3;

type Outcome = 'possible' | 'impossible' | 'untold';

export function score(
  set: GigSet,
  tracks: readonly SetTrack[],
  booth: Booth,
  profiles: readonly DeckProfile[],
): Score {
  return scoreOf(set, checkTracks(set, tracks, booth, profiles), booth, profiles);
}

/** @param checks by the track's id */
export function scoreOf(
  set: GigSet,
  checks: ReadonlyMap<string, TrackCheck>,
  booth: Booth,
  profiles: readonly DeckProfile[],
): Score {
  const here = decksOf(booth, profiles);
  const total: Record<Outcome, number> = { possible: 0, impossible: 0, untold: 0 };
  for (const entry of set.entries) {
    const check = entry.trackId === null ? undefined : checks.get(entry.trackId);
    for (const outcome of outcomesOf(entry, check, here)) total[outcome]++;
  }
  const planned = total.possible + total.impossible;
  return {
    possible: total.possible,
    planned,
    untold: total.untold,
    share: planned ? total.possible / planned : null,
  };
}

/** One outcome for each planned move of an entry. */
function outcomesOf(entry: SetEntry, check: TrackCheck | undefined, booth: BoothDecks): Outcome[] {
  const mixPoints = [entry.mixIn, entry.mixOut].filter((time) => time !== null);
  if (!check) return [...mixPoints, ...entry.moves].map(() => 'untold');
  const everywhere = (on: (profile: DeckProfile) => Outcome): Outcome => {
    const outcomes = booth.profiles.map((profile) =>
      fileReasons(check.track, profile).length ? 'impossible' : on(profile),
    );
    if (outcomes.includes('impossible')) return 'impossible';
    return outcomes.includes('untold') || booth.missing.length || !outcomes.length ? 'untold' : 'possible';
  };
  return [
    ...mixPoints.map((time) => everywhere((profile) => placeOutcome(check, profile, time))),
    ...entry.moves.map((move) => everywhere((profile) => moveOutcome(move, check, profile, booth))),
    ...neededMarkers(entry, check).map((id) => everywhere((profile) => markerOutcome(check, profile, id))),
  ];
}

function neededMarkers({ moves }: SetEntry, { track }: TrackCheck): string[] {
  const named = new Set(moves.map((move) => ('markerId' in move ? move.markerId : null)));
  return track.markers
    .filter(({ id, kind, importance }) => kind !== 'mark' && importance === NEEDED && !named.has(id))
    .map(({ id }) => id);
}

function placeOutcome(check: TrackCheck, profile: DeckProfile, time: number): Outcome {
  const readable = check.decks.get(profile.id)?.places.get(time)?.readable ?? 'untold';
  if (readable === 'untold') return 'untold';
  return readable === 'unreadable' ? 'impossible' : 'possible';
}

function markerOutcome(check: TrackCheck, profile: DeckProfile, markerId: string): Outcome {
  const verdict = check.decks.get(profile.id)?.verdicts.find((v) => v.markerId === markerId);
  if (!verdict) return 'untold';
  return verdict.outcome === 'lost' ? 'impossible' : 'possible';
}

function moveOutcome(move: PlannedMove, check: TrackCheck, profile: DeckProfile, booth: BoothDecks): Outcome {
  if (!canBeTold(move)) return 'untold';
  if (moveFault(move, { check, profile, booth })?.outcome === 'lost') return 'impossible';
  return 'markerId' in move ? markerOutcome(check, profile, move.markerId) : 'possible';
}
