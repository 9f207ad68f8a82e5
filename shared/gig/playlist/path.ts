/** Names of files as playlists give them: paths of any system, or URIs. */

const SCHEME = /^[a-z][a-z0-9+.-]+:\/\//i;

/** Whether the line is an address such as `file:///…` or `https://…`; a drive letter is none. */
export const isUri = (path: string): boolean => SCHEME.test(path);

/** Whether the address is somewhere on the net, where no deck finds it. */
export const isWebAddress = (path: string): boolean => isUri(path) && !/^file:/i.test(path);

/** The text without its percent-encoding (RFC 3986, section 2.1), or null where it has none or a broken one. */
export function percentDecoded(text: string): string | null {
  if (!/%[0-9a-f]{2}/i.test(text)) return null;
  try {
    return decodeURIComponent(text);
  } catch {
    return null;
  }
}

/**
 * Names that the file at the end of a path can have, likeliest first: as it stands and without percent-encoding; the
 * other way round in a URI, where the encoding is the rule. Slashes of both kinds part the folders.
 */
export function fileNamesOf(path: string): string[] {
  const uri = isUri(path);
  const bare = uri ? path.replace(/[?#].*$/s, '') : path;
  const name = bare.split(/[/\\]/).at(-1) ?? '';
  const decoded = percentDecoded(name);
  const names = decoded === null ? [name] : uri ? [decoded, name] : [name, decoded];
  return names.filter((n) => n !== '');
}

/** A name without its ending: `Tide (Edit).flac` → `Tide (Edit)`. */
export const stemOf = (name: string): string => name.replace(/(?<=.)\.[^.\s]{1,5}$/, '');

/** One form for names that differ only in letter case, composition of accents, or blanks. */
export const folded = (text: string): string =>
  text.normalize('NFC').toLowerCase().replace(/\s+/g, ' ').trim();

/** Halves of surrogate pairs that stand alone can be neither written nor percent-encoded. */
export const wellFormed = (text: string): string => text.replace(/\p{Cs}/gu, '\ufffd');
