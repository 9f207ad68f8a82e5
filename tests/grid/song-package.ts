/**
 * Songs with a published tempo map: the Debian package `fretsonfire-songs-sectoid` (audio, and a MIDI file
 * with its tempo map; MIT licence). Found where it is installed, else fetched with apt and unpacked into
 * .cache/, never installed or committed.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import decode from '@audio/decode-vorbis';
import { quarterTimes, readTempoMap } from './midi.ts';

const PACKAGE = 'fretsonfire-songs-sectoid';
const INSIDE = 'usr/share/games/fretsonfire/data/songs/sectoid';
const CACHE = fileURLToPath(new URL('../../.cache/songs/', import.meta.url));

export interface PublishedSong {
  name: string;
  folder: string;
}

/** The songs, or null (after a printed line) where neither the package nor apt is there. */
export function publishedSongs(): PublishedSong[] | null {
  const installed = join('/', INSIDE);
  const folder = existsSync(installed) ? installed : unpacked();
  if (!folder) {
    console.log(`skipped: ${PACKAGE} is not installed and apt cannot fetch it`);
    return null;
  }
  return readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => ({ name: entry.name, folder: join(folder, entry.name) }));
}

function unpacked(): string | null {
  const folder = join(CACHE, INSIDE);
  if (existsSync(folder)) return folder;
  mkdirSync(CACHE, { recursive: true });
  if (spawnSync('apt-get', ['download', PACKAGE], { cwd: CACHE, stdio: 'ignore' }).status !== 0) return null;
  const file = readdirSync(CACHE).find((name) => name.startsWith(PACKAGE) && name.endsWith('.deb'));
  if (!file || spawnSync('dpkg-deb', ['-x', join(CACHE, file), CACHE]).status !== 0) return null;
  return existsSync(folder) ? folder : null;
}

/** Both audio files of a song mixed, and its quarter notes after the tempo map. */
export async function loadSong({ folder }: PublishedSong) {
  const parts = await Promise.all(
    ['song.ogg', 'guitar.ogg'].map((name) => decode(readFileSync(join(folder, name)))),
  );
  const [song, guitar] = parts;
  const channels = song.channelData.map((data, c) => {
    const other = guitar.channelData[Math.min(c, guitar.channelData.length - 1)];
    return data.map((x, i) => x + (other[i] ?? 0));
  });
  const { sampleRate } = song;
  const seconds = channels[0].length / sampleRate;
  const map = readTempoMap(readFileSync(join(folder, 'notes.mid')));
  const beats = quarterTimes(map, seconds);
  return { channels, sampleRate, seconds, beats, bpm: 60e6 / map.tempi[0].microsecondsPerQuarter };
}
