/**
 * File names that every disk takes: FAT, exFAT and NTFS forbid most. Reserved characters and names:
 * https://learn.microsoft.com/en-us/windows/win32/fileio/naming-a-file ; 255 bytes of a name on most Unix file
 * systems (POSIX NAME_MAX, common value).
 */

/** UTF-8 bytes of one name: room is left for what a deck's or a system's own suffixes add (estimate). */
export const MOST_NAME_BYTES = 180;
/** Folders within folders. */
const MOST_DEPTH = 8;
/** An ending longer than this is no ending. */
const MOST_ENDING = 8;
const NAMELESS = 'untitled';

// Control characters, invisible marks of direction, and halves of surrogate pairs; not the joiners, which some
// scripts need.
const UNSEEN = /[\p{Cc}\p{Cs}\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff]/gu;
const FORBIDDEN = /[<>:"/\\|?*]/g;
const RESERVED = /^(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])$/i;

const encoder = new TextEncoder();
const byteLength = (text: string) => encoder.encode(text).length;

/** Cut between two characters as a person sees them. */
function cut(text: string, mostBytes: number): string {
  if (byteLength(text) <= mostBytes) return text;
  let kept = '';
  let bytes = 0;
  for (const { segment } of new Intl.Segmenter(undefined, { granularity: 'grapheme' }).segment(text)) {
    bytes += byteLength(segment);
    if (bytes > mostBytes) break;
    kept += segment;
  }
  return kept;
}

/** Neither may end a name, nor is a leading dot (a hidden file) or blank of use. */
const bare = (text: string) => text.replace(/^[.\s]+|[.\s]+$/gu, '');

function split(name: string): [stem: string, ending: string] {
  const dot = name.lastIndexOf('.');
  const isEnding =
    dot > 0 && name.length - dot - 1 <= MOST_ENDING && /^\.[A-Za-z0-9]+$/.test(name.slice(dot));
  return isEnding ? [name.slice(0, dot), name.slice(dot)] : [name, ''];
}

function joined(stem: string, tail: string, ending: string): string {
  const most = MOST_NAME_BYTES - byteLength(tail) - byteLength(ending);
  return `${bare(cut(stem, most)) || NAMELESS}${tail}${ending}`;
}

/** One name (no folder) that every disk takes; never empty. A safe name stays as it is. */
export function safeName(name: string): string {
  const plain = bare(name.normalize('NFC').replace(FORBIDDEN, '-').replace(UNSEEN, '').replace(/\s+/gu, ' '));
  const [stem, ending] = split(plain);
  const safe = joined(stem, '', ending);
  // The part up to the first dot is what is reserved.
  const [first] = safe.split('.');
  return RESERVED.test(first.trim()) ? joined(`${first.trim()}_${safe.slice(first.length)}`, '', '') : safe;
}

/** A relative path that stays below its folder: `..`, empty parts and drive letters are gone. */
export function safePath(path: string): string {
  const parts = path.split(/[/\\]/).filter((part) => !/^[.\s]*$/u.test(part));
  const kept = parts.length > MOST_DEPTH ? [...parts.slice(0, MOST_DEPTH - 1), parts.at(-1)!] : parts;
  return kept.map(safeName).join('/') || NAMELESS;
}

/** What disks take for the same name. */
export const sameName = (name: string) => name.normalize('NFC').toUpperCase().toLowerCase();

/**
 * Safe paths, each of its own even where a disk does not tell capitals apart: later ones get ` (2)`, ` (3)`…
 * @param taken paths that are there already
 */
export function uniquePaths(paths: readonly string[], taken: readonly string[] = []): string[] {
  const seen = new Set(taken.map(sameName));
  // A file must not stand where a folder of another path stands.
  const folders = new Set<string>();
  const all = [...taken, ...paths.map(safePath)];
  for (const path of all) {
    const parts = path.split('/');
    for (let n = 1; n < parts.length; n++) folders.add(sameName(parts.slice(0, n).join('/')));
  }
  return paths.map((wished) => {
    const path = safePath(wished);
    const slash = path.lastIndexOf('/') + 1;
    const [stem, ending] = split(path.slice(slash));
    let unique = path;
    for (let n = 2; seen.has(sameName(unique)) || folders.has(sameName(unique)); n++) {
      unique = path.slice(0, slash) + joined(stem, ` (${n})`, ending);
    }
    seen.add(sameName(unique));
    return unique;
  });
}
