/** The files that Boothproof writes, told apart by the name of their format: one given in the wrong place is told where it belongs. */
import { MARKERS_FORMAT } from './exchange/json/schema.ts';
import { PROFILE_FORMAT } from './profile/schema.ts';

export const BACKUP_FORMAT = 'boothproof-backup';

export interface OwnFile {
  format: string;
  /** `a backup` */
  what: string;
  /** What to do with it, as the end of a sentence. */
  belongs: string;
}

const OWN_FILES: readonly OwnFile[] = [
  { format: PROFILE_FORMAT, what: 'a deck profile', belongs: 'load it in Decks' },
  {
    format: MARKERS_FORMAT,
    what: 'a file of markers',
    belongs: 'open its track in Mark and read it there under “Save and read markers”',
  },
  { format: BACKUP_FORMAT, what: 'a backup', belongs: 'restore it under “Back up and restore”' },
];

/** Characters at the start of a file in which the name of its format stands. */
const HEAD = 400;
const NAMED = /"format"\s*:\s*"([a-z-]{1,40})"/;

/**
 * Which of our files a text is, or null for none of them. A text that is damaged or cut is told by its start.
 * @param text of the file, or the first of it
 */
export function ownFileIn(text: string): OwnFile | null {
  const format = NAMED.exec(text.slice(0, HEAD))?.[1];
  return OWN_FILES.find((file) => file.format === format) ?? null;
}

/** The same for data that has been parsed already. */
export function ownFileOf(data: unknown): OwnFile | null {
  const format =
    typeof data === 'object' && data !== null ? (data as { format?: unknown }).format : undefined;
  return OWN_FILES.find((file) => file.format === format) ?? null;
}

/** `is a backup, no deck profile: restore it under …`, without the file and the full stop. */
export const misplaced = ({ what, belongs }: OwnFile, wanted: string): string =>
  `is ${what}, no ${wanted}: ${belongs}`;
