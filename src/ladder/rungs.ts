/** Which decks stand on the ladder, in which order and how each is set. Pure functions over plain data. */
import type { DeckProfile, WaveformKind } from '../../shared/profile/schema.ts';
import { kindOn } from '../../shared/display/model.ts';
import type { Rung } from '../library/settings.ts';

/** A rung as the settings keep it: without `kind` the deck's best, without `zoomStop` the nearest stop. */
export type RungSetup = Rung;

/** One rung per deck, richest on top. */
export function defaultRungs(profiles: readonly DeckProfile[]): RungSetup[] {
  return [...profiles].sort((a, b) => b.richness - a.richness).map((profile) => newRung(profile.id, []));
}

/** A rung for `profileId` with an id that no rung of `rungs` has. */
export function newRung(profileId: string, rungs: readonly RungSetup[]): RungSetup {
  let id = profileId;
  for (let n = 2; rungs.some((rung) => rung.id === id); n++) id = `${profileId}~${n}`;
  return { id, profileId };
}

/** Puts a new rung where its deck's richness belongs, leaving the order of the others alone. */
export function addRung(
  rungs: readonly RungSetup[],
  profile: DeckProfile,
  profiles: readonly DeckProfile[],
): RungSetup[] {
  const richness = (rung: RungSetup) => profiles.find((p) => p.id === rung.profileId)?.richness ?? 0;
  const at = rungs.findIndex((rung) => richness(rung) < profile.richness);
  return rungs.toSpliced(at < 0 ? rungs.length : at, 0, newRung(profile.id, rungs));
}

export function removeRung(rungs: readonly RungSetup[], id: string): RungSetup[] {
  return rungs.filter((rung) => rung.id !== id);
}

/** Moves a rung by `by` places, as far as there are any. */
export function moveRung(rungs: readonly RungSetup[], id: string, by: number): RungSetup[] {
  const from = rungs.findIndex((rung) => rung.id === id);
  const to = Math.min(rungs.length - 1, Math.max(0, from + by));
  return from < 0 || from === to ? [...rungs] : rungs.toSpliced(from, 1).toSpliced(to, 0, rungs[from]);
}

export function changeRung(rungs: readonly RungSetup[], id: string, change: Partial<RungSetup>): RungSetup[] {
  return rungs.map((rung) => (rung.id === id ? { ...rung, ...change } : rung));
}

/** The kind a rung shows: the chosen one where the deck has it, else its best; null when nothing scrolls. */
export function kindOf(rung: RungSetup, profile: DeckProfile): WaveformKind | null {
  return kindOn(profile, rung.kind ?? profile.waveform.kinds[0]);
}
