/** What a deck's track list shows of titles: what is cut, what looks alike, what it may have no letters for. */
import type { DeckProfile } from '../../profile/schema.ts';

const letters = new Intl.Segmenter('en', { granularity: 'grapheme' });

/** Here a character is a code unit, which is far faster. */
const ASCII = /^[\x20-\x7e]*$/;

export interface NamedEntry {
  entryId: string;
  /** Equal ids are the same track, which may stand in a set twice. */
  trackId: string;
  title: string;
  artist: string;
}

/** The first `most` characters as a reader counts them. */
export function cutTo(text: string, most: number): string {
  if (text.length <= most) return text;
  if (ASCII.test(text)) return text.slice(0, most);
  let cut = '';
  let count = 0;
  for (const { segment } of letters.segment(text)) {
    if (count++ === most) return cut;
    cut += segment;
  }
  return text;
}

/** What a list's columns hold, in their order. No profile says so: estimate. Further ones differ too much to say. */
export const LIST_FIELDS = ['title', 'artist', 'tempo', 'key', 'length'] as const;
export type ListField = (typeof LIST_FIELDS)[number];
/** Of these the names are told apart by; what else stands in a row is not looked at. */
const NAMES = 2;

/** The columns that a deck's list has room for. */
export const fieldsShown = ({ list }: DeckProfile): readonly ListField[] =>
  LIST_FIELDS.slice(0, list.columns);

/** One row of the list, cell by cell: the title as far as it fits, and the artist cut as short. */
export const cellsShown = (
  row: Pick<NamedEntry, 'title' | 'artist'> & Partial<Record<ListField, string>>,
  profile: DeckProfile,
): string[] => fieldsShown(profile).map((field) => cutTo(row[field] ?? '', profile.list.titleCharacters));

/** The names in one row: the title, and on a list of several columns the artist. */
export const rowShown = (entry: Pick<NamedEntry, 'title' | 'artist'>, profile: DeckProfile): string =>
  cellsShown(entry, profile).slice(0, NAMES).join('\n');

export const isCut = (title: string, { list }: DeckProfile): boolean =>
  cutTo(title, list.titleCharacters) !== title;

export interface Alike {
  /** The title as it is shown. */
  shown: string;
  entries: NamedEntry[];
  /** Two of them are seen at once: no more than the list's rows apart in the set. */
  together: boolean;
}

/** Groups of different tracks that look the same in the deck's list; letter case does not tell them apart at a glance. */
export function alikeOn(entries: readonly NamedEntry[], profile: DeckProfile): Alike[] {
  const groups = new Map<string, { entry: NamedEntry; at: number }[]>();
  for (const [at, entry] of entries.entries()) {
    const key = rowShown(entry, profile).toLowerCase().trimEnd();
    const group = groups.get(key);
    if (group) group.push({ entry, at });
    else groups.set(key, [{ entry, at }]);
  }
  return [...groups.values()].flatMap((group): Alike[] => {
    const different = group.filter(
      ({ entry }, i) => group.findIndex((other) => other.entry.trackId === entry.trackId) === i,
    );
    if (different.length < 2) return [];
    const together = group.some(
      ({ entry, at }, i) =>
        i > 0 && entry.trackId !== group[i - 1].entry.trackId && at - group[i - 1].at < profile.list.rows,
    );
    const shown = cutTo(different[0].entry.title, profile.list.titleCharacters);
    return [{ shown, entries: different.map(({ entry }) => entry), together }];
  });
}

/** Nothing that a plain list can be trusted to show: emoji and other symbols, marks of direction, private characters. */
const NOWHERE_SURE =
  /[\p{Extended_Pictographic}\p{Co}\p{Cn}\p{Cs}\p{Cc}\u200b-\u200f\u202a-\u202e\u2060-\u206f]/u;
/** Digits, `#` and `*` count as pictographic in Unicode's table; they are in every font. */
const PLAIN = /[0-9#*©®™]/gu;
/** Letters of another script than Latin. */
const OTHER_SCRIPT = /(?!\p{Script=Latin})\p{L}/u;

/**
 * The first character of a title that the list may not show, or null. No profile says which letters a deck has:
 * symbols are taken to be at risk on all, other scripts than Latin on screens that take no touch. Estimate.
 */
export function riskyCharacter(text: string, { screen }: DeckProfile): string | null {
  const bare = text.replace(PLAIN, '');
  const found = NOWHERE_SURE.exec(bare) ?? (screen.touch ? null : OTHER_SCRIPT.exec(bare.normalize('NFC')));
  return found?.[0] ?? null;
}
