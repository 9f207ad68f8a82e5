/** Real audio files for the browser tests, cut from the demo set by ffmpeg. */
import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { encoded } from '../../tests/fixtures/ffmpeg.ts';

const DEMO = fileURLToPath(new URL('../../.cache/public/demo/', import.meta.url));
const FOLDER = fileURLToPath(new URL('../../.cache/fixtures/browser/', import.meta.url));

interface Manifest {
  tracks: { file: string; title: string }[];
}
export const demo = JSON.parse(readFileSync(`${DEMO}manifest.json`, 'utf8')) as Manifest;

/** Seconds of the excerpt: the house track's intro and what follows. */
export const EXCERPT_SECONDS = 48;

/**
 * An excerpt of the first demo track.
 * @param name file name whose ending tells the container; the person sees it
 * @param args ffmpeg arguments for the codec
 */
export function excerpt(name: string, args: string[] = [], seconds = EXCERPT_SECONDS): string {
  const made = encoded(`${DEMO}${demo.tracks[0].file}`, name, ['-t', String(seconds), ...args]);
  mkdirSync(FOLDER, { recursive: true });
  copyFileSync(made, `${FOLDER}${name}`);
  return `${FOLDER}${name}`;
}

export const mp3 = () =>
  excerpt('cellar-door.mp3', [
    '-b:a',
    '192k',
    '-metadata',
    'title=Cellar Door',
    '-metadata',
    'artist=Nobody Yet',
  ]);

/** A file of our own making with these bytes. */
export function written(name: string, bytes: Uint8Array | string): string {
  mkdirSync(FOLDER, { recursive: true });
  const path = `${FOLDER}${name}`;
  writeFileSync(path, bytes);
  return path;
}

/** The first half of a file. */
export function half(path: string, name: string): string {
  if (!existsSync(path)) throw new Error(`${path} is missing`);
  const bytes = readFileSync(path);
  return written(name, bytes.subarray(0, bytes.length >> 1));
}
