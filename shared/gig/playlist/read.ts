/** Playlists that other programs wrote. */
import { MOST_TEXT_BYTES, textOfBytes } from '../../exchange/text.ts';
import { GigFault, MAX_ENTRIES, MAX_TEXT } from '../types.ts';
import { readM3u8 } from './m3u8.ts';
import { isWebAddress, wellFormed } from './path.ts';
import { readTable } from './table.ts';
import type { Playlist } from './types.ts';

/**
 * Reads an M3U8 (or M3U) list or a CSV table; which of them is told by the content, else by the name's ending.
 * @throws GigFault when it holds no list of tracks; its message names the file and the remedy
 */
export function readPlaylist(bytes: Uint8Array, fileName: string): Playlist {
  if (bytes.length > MOST_TEXT_BYTES) {
    throw new GigFault(
      `${fileName} has ${bytes.length} bytes, far more than any list of tracks: choose a playlist in M3U8 or CSV.`,
    );
  }
  const { text, notes } = textOfBytes(bytes, fileName);
  if (text.includes('\0')) {
    throw new GigFault(`${fileName} is not a text: choose a playlist in M3U8 or CSV.`);
  }
  const isM3u = /^\ufeff?\s*#EXTM3U/.test(text) || /\.m3u8?$/i.test(fileName);
  const list = isM3u ? readM3u8(text, fileName) : readTable(text, fileName);
  if (!list.entries.length) {
    throw new GigFault(`${fileName} names no track: choose a playlist with at least one.`);
  }
  if (list.entries.length > MAX_ENTRIES) {
    throw new GigFault(
      `${fileName} has ${list.entries.length} tracks, and a set holds ${MAX_ENTRIES} at most: split the list.`,
    );
  }
  const short = (value: string) => wellFormed(value.slice(0, MAX_TEXT));
  const entries = list.entries.map((entry) => ({
    ...entry,
    title: short(entry.title),
    artist: short(entry.artist),
    path: short(entry.path),
  }));
  const web = entries.filter(({ path }) => isWebAddress(path)).length;
  const all = [...notes, ...list.notes];
  if (web) {
    all.push(
      `${fileName}: ${web === 1 ? 'one track is' : `${web} tracks are`} on the web; a deck plays files from a drive only.`,
    );
  }
  return { ...list, entries, notes: all };
}
