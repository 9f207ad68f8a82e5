/** A set as a table: CSV after RFC 4180, with a heading that names the columns in any order and in common words. */
import { msOfClock } from '../../exchange/clock.ts';
import { unguarded } from '../../exchange/csv/columns.ts';
import { rowsOf } from '../../exchange/csv/rows.ts';
import { GigFault, MAX_NOTES } from '../types.ts';
import { emptyEntry, type Playlist, type PlaylistEntry } from './types.ts';

type Column = keyof PlaylistEntry;

/** Headings that name a column, in small letters without blanks and signs. */
const HEADINGS: Record<Column, readonly string[]> = {
  title: ['title', 'tracktitle', 'name', 'trackname', 'track', 'song'],
  artist: ['artist', 'artists', 'artistname', 'performer'],
  path: ['file', 'filename', 'filepath', 'path', 'location', 'uri', 'url'],
  seconds: ['duration', 'length', 'seconds', 'time'],
  mixIn: ['mixin', 'mixinpoint', 'in', 'start'],
  mixOut: ['mixout', 'mixoutpoint', 'out', 'end'],
  note: ['note', 'notes', 'comment', 'comments'],
};
const COLUMNS = Object.keys(HEADINGS) as Column[];
/** Without one of these no track can be found. */
const NAMING: readonly Column[] = ['title', 'path'];
const NUMBER = /^\d+(\.\d+)?$/;
/** Lines named in a note; the rest is counted. */
const MOST_LINES = 5;

/** @throws GigFault with the line and the remedy */
export function readTable(text: string, fileName: string): Playlist {
  const whole = text.replace(/^\ufeff/, '');
  const separator = separatorOf(whole.split(/[\r\n]/, 1)[0]);
  const rows = rowsOf(whole, separator);
  if (!Array.isArray(rows)) throw new GigFault(`${fileName}, line ${rows.line}: ${rows.sentence}.`);
  if (!rows.length) {
    throw new GigFault(`${fileName} is empty: choose a table with a heading and one line for each track.`);
  }
  const places = placesOf(rows[0].fields);
  if (!NAMING.some((column) => places.has(column))) {
    throw new GigFault(
      `${fileName}, line ${rows[0].line}: no column is called “title” or “file”; name the columns in the first line.`,
    );
  }
  const notes: string[] = [];
  const badTimes: number[] = [];
  const entries: PlaylistEntry[] = [];
  let empty = 0;
  for (const { fields, line } of rows.slice(1)) {
    const field = (column: Column) => unguarded(fields[places.get(column) ?? -1] ?? '').trim();
    const time = (column: Column): number | null => {
      const seconds = secondsOf(field(column), separator);
      if (Number.isNaN(seconds)) badTimes.push(line);
      return Number.isNaN(seconds) ? null : seconds;
    };
    const entry: PlaylistEntry = {
      ...emptyEntry(),
      title: field('title'),
      artist: field('artist'),
      path: field('path'),
      seconds: time('seconds'),
      mixIn: time('mixIn'),
      mixOut: time('mixOut'),
      note: field('note').slice(0, MAX_NOTES),
    };
    if (entry.title || entry.path) entries.push(entry);
    else empty++;
  }
  if (badTimes.length) {
    const lines = [...new Set(badTimes)];
    const more = lines.length > MOST_LINES ? ` and ${lines.length - MOST_LINES} more` : '';
    notes.push(
      `${fileName}: times were left out in line ${lines.slice(0, MOST_LINES).join(', ')}${more}; write seconds such as 83.25, or 1:23.25.`,
    );
  }
  if (empty) {
    notes.push(`${fileName}: ${empty === 1 ? 'one line names' : `${empty} lines name`} no track.`);
  }
  return { name: null, entries, notes };
}

function separatorOf(head: string): string {
  return ['\t', ';'].find((s) => head.includes(s) && !head.includes(',')) ?? ',';
}

function placesOf(heading: readonly string[]): Map<Column, number> {
  const words = heading.map((h) => h.toLowerCase().replace(/[^a-z]/g, ''));
  const places = new Map<Column, number>();
  for (const column of COLUMNS) {
    // By the order of the words, so that "title" is taken before "track", which may be a number.
    for (const word of HEADINGS[column]) {
      const at = words.indexOf(word);
      if (at < 0) continue;
      places.set(column, at);
      break;
    }
  }
  return places;
}

/** s, null where the field is empty, NaN where it is no time. */
function secondsOf(field: string, separator: string): number | null {
  if (!field) return null;
  if (field.includes(':')) return (msOfClock(field) ?? NaN) / 1000;
  const text = separator === ',' ? field : field.replace(',', '.');
  return NUMBER.test(text) ? Number(text) : NaN;
}
