/**
 * Extended M3U in UTF-8. Where they apply, the rules are those of RFC 8216, sections 4 and 4.1
 * (https://www.rfc-editor.org/rfc/rfc8216): UTF-8 without a byte-order mark, `#EXTM3U` first, lines that end in LF or
 * CRLF, no other control characters, all of it in normalisation form NFC, empty lines and unknown lines with `#`
 * skipped, `#EXTINF:<seconds>,<title>` before the line of the file. That
 * a title reads `Artist - Title`, and that a path stands as it is on the disk and not as a URI, is common practice
 * (no source). What that cannot tell goes into a comment of ours, which others skip.
 */
import * as v from 'valibot';
import { linesOf } from '../../exchange/text.ts';
import { MAX_NOTES, MAX_TEXT } from '../types.ts';
import { isUri, wellFormed } from './path.ts';
import { emptyEntry, type Playlist, type PlaylistEntry } from './types.ts';

const HEAD = '#EXTM3U';
const NAME = '#PLAYLIST:';
const OURS = '#BOOTHPROOF-ENTRY:';
/** The comma may be missing, and attributes (in quotes with commas of their own) may stand before it. */
const INFO = /^#EXTINF:\s*([+-]?\d+(?:\.\d+)?)(?:"[^"]*"|[^,])*(?:,(.*))?$/s;
const BETWEEN = ' - ';

const time = v.nullable(v.pipe(v.number(), v.finite(), v.minValue(0)));
const OursSchema = v.object({
  title: v.pipe(v.string(), v.maxLength(MAX_TEXT)),
  artist: v.pipe(v.string(), v.maxLength(MAX_TEXT)),
  seconds: time,
  mixIn: time,
  mixOut: time,
  note: v.pipe(v.string(), v.maxLength(MAX_NOTES)),
});

/** Reads any text: what is not known is skipped, what is missing is told in the notes. */
export function readM3u8(text: string, fileName: string): Playlist {
  const list: Playlist = { name: null, entries: [], notes: [] };
  let next = emptyEntry();
  let exact: v.InferOutput<typeof OursSchema> | null = null;
  let badInfo = 0;
  const lines = linesOf(text);
  if (!lines.some((line) => line.trim() === HEAD)) {
    list.notes.push(`${fileName} does not begin with ${HEAD}, so it was read as a plain list of files.`);
  }
  for (const line of lines) {
    if (!line.trim()) continue;
    if (!line.startsWith('#')) {
      list.entries.push({ ...next, ...exact, path: line });
      next = emptyEntry();
      exact = null;
    } else if (line.startsWith('#EXTINF:')) {
      const info = INFO.exec(line);
      if (info) next = { ...next, ...titleOf(info[2] ?? ''), seconds: secondsOf(info[1]) };
      else badInfo++;
    } else if (line.startsWith(NAME)) list.name = line.slice(NAME.length).trim() || null;
    else if (line.startsWith(OURS)) exact = oursOf(line.slice(OURS.length));
  }
  if (badInfo) {
    list.notes.push(
      `${fileName}: ${badInfo} ${badInfo === 1 ? 'line' : 'lines'} with #EXTINF could not be read; those tracks are known by their files only.`,
    );
  }
  return list;
}

const secondsOf = (text: string): number | null => (Number(text) > 0 ? Number(text) : null);

function titleOf(info: string): { title: string; artist: string } {
  const whole = info.trim();
  const at = whole.indexOf(BETWEEN);
  if (at <= 0) return { artist: '', title: whole };
  return { artist: whole.slice(0, at).trim(), title: whole.slice(at + BETWEEN.length).trim() };
}

function oursOf(json: string): v.InferOutput<typeof OursSchema> | null {
  try {
    const read = v.safeParse(OursSchema, JSON.parse(json));
    return read.success ? read.output : null;
  } catch {
    return null;
  }
}

/**
 * The text of an extended M3U; it reads back as what was written.
 * @param pathOf path of an entry's file as the list is to give it: relative, slashes between folders. null: the file
 *   is not with the list, and the entry is left out
 */
export function writePlaylist<E extends PlaylistEntry>(
  entries: readonly E[],
  pathOf: (entry: E) => string | null,
  name: string | null = null,
): string {
  const lines = [HEAD];
  if (name) lines.push(NAME + oneLine(name));
  for (const entry of entries) {
    const path = pathOf(entry);
    if (path === null || !path.trim()) continue;
    const { title, artist, seconds, mixIn, mixOut, note } = entry;
    const shown = artist ? `${artist}${BETWEEN}${title}` : title;
    // Whole seconds: RFC 8216, 4.3.2.1, for lists that do not state a version.
    lines.push(`#EXTINF:${seconds ? Math.max(1, Math.round(seconds)) : 0},${oneLine(shown)}`);
    lines.push(OURS + plainJson({ title, artist, seconds, mixIn, mixOut, note }));
    lines.push(safeLine(path));
  }
  return lines.map((line) => `${line}\n`).join('');
}

// eslint-disable-next-line no-control-regex
const BREAKING = /[\u0000-\u001f\u007f-\u009f]/g;
const isPlain = (text: string): boolean => text.search(BREAKING) < 0 && text.normalize('NFC') === text;
const oneLine = (text: string): string => wellFormed(text).replace(BREAKING, ' ').normalize('NFC').trim();

/** JSON that reads back as it was, escaped where the text by itself would break the rules of the list. */
function plainJson(value: object): string {
  const json = JSON.stringify(value);
  const escaped = (unit: string) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`;
  return isPlain(json) ? json : json.replace(/[^\u0020-\u007e]/g, escaped);
}

/** A name may begin like a comment, or (on some systems) hold the end of a line or decomposed letters. */
function safeLine(path: string): string {
  const inLine = path
    .split('/')
    .map((part) => (isPlain(part) ? part : encodeURIComponent(wellFormed(part))))
    .join('/');
  return inLine.startsWith('#') && !isUri(inLine) ? `./${inLine}` : inLine;
}
