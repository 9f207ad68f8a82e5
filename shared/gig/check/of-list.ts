/** Findings about the names in a deck's track list. */
import type { DeckProfile } from '../../profile/schema.ts';
import type { SetEntry } from '../types.ts';
import { weightOf } from './finding.ts';
import { aboutTrack, type Gathering } from './gather.ts';
import { alikeOn, isCut, type NamedEntry, riskyCharacter } from './names.ts';
import type { TrackCheck } from './track-check.ts';

/** Added where tracks that look alike are seen at once: the hand takes the wrong one. Estimate. */
const TOGETHER_WEIGHT = 6;

export function reportNames(
  found: Gathering,
  entries: readonly SetEntry[],
  checks: ReadonlyMap<string, TrackCheck>,
  profiles: readonly DeckProfile[],
): void {
  const byId = new Map(entries.map((entry) => [entry.id, entry]));
  const named = entries.map((entry): NamedEntry => {
    const track = entry.trackId === null ? undefined : checks.get(entry.trackId)?.track;
    const title = entry.nameOnDrive || track?.title || entry.title || entry.fileName;
    const artist = track?.artist ?? entry.artist;
    // Not in the library: the same title and artist are taken for the same track.
    return {
      entryId: entry.id,
      trackId: entry.trackId ?? `\n${artist}\n${title}\n${entry.fileName}`,
      title,
      artist,
    };
  });
  for (const profile of profiles) {
    const alike = new Set<string>();
    for (const { shown, entries: group, together } of alikeOn(named, profile)) {
      for (const { entryId } of group) {
        alike.add(entryId);
        found.report({
          key: 'names-alike',
          group: group[0].entryId,
          weight: weightOf('names-alike') + (together ? TOGETHER_WEIGHT : 0),
          profile,
          detail: aboutTrack(byId.get(entryId) as SetEntry, { shown, rows: profile.list.rows }),
          remedies: [{ action: 'rename' }, { action: 'gig-advice', key: 'tell-by-place' }],
        });
      }
    }
    for (const { entryId, title, artist } of named) {
      const entry = byId.get(entryId) as SetEntry;
      if (isCut(title, profile) && !alike.has(entryId)) {
        found.report({
          key: 'names-cut',
          group: '',
          weight: weightOf('names-cut'),
          profile,
          detail: aboutTrack(entry, { characters: profile.list.titleCharacters }),
          remedies: [{ action: 'rename' }],
        });
      }
      const character =
        riskyCharacter(title, profile) ?? (profile.list.columns > 1 ? riskyCharacter(artist, profile) : null);
      if (character === null) continue;
      found.report({
        key: 'name-characters',
        group: entryId,
        weight: weightOf('name-characters'),
        profile,
        detail: aboutTrack(entry, { character }),
        remedies: [{ action: 'rename' }],
      });
    }
  }
}
