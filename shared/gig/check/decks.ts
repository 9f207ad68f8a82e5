/** The decks of a booth with their profiles. */
import type { DeckProfile } from '../../profile/schema.ts';
import type { Booth } from '../types.ts';

export interface BoothDeckProfile {
  profile: DeckProfile;
  count: number;
  linked: boolean;
}

export interface BoothDecks {
  /** As the booth lists them. */
  decks: BoothDeckProfile[];
  /** The different profiles, poorest first: the worst deck decides. */
  profiles: DeckProfile[];
  /** Ids for which no profile is at hand. */
  missing: string[];
}

export function decksOf(booth: Booth, profiles: readonly DeckProfile[]): BoothDecks {
  const byId = new Map(profiles.map((profile) => [profile.id, profile]));
  const decks: BoothDeckProfile[] = [];
  const missing = new Set<string>();
  for (const { profileId, count, linked } of booth.decks) {
    const profile = byId.get(profileId);
    if (profile) decks.push({ profile, count, linked });
    else missing.add(profileId);
  }
  return { decks, profiles: poorestFirst(decks.map(({ profile }) => profile)), missing: [...missing] };
}

/** Each once; equally rich ones in order of their ids, so that the order never wavers. */
export function poorestFirst(profiles: readonly DeckProfile[]): DeckProfile[] {
  return [...new Set(profiles)].sort((a, b) => a.richness - b.richness || (a.id < b.id ? -1 : 1));
}

/** Number of decks that can follow one another: those that are linked. */
export const linkedDecks = ({ decks }: BoothDecks): number =>
  decks.reduce((sum, { count, linked }) => sum + (linked ? count : 0), 0);
