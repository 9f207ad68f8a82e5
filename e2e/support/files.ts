/** Real audio files for the browser tests, cut from the demo set by ffmpeg. */
import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { isUnsure } from '../../src/library/sureness.ts';
import { analyseTrack } from '../../workers/analyse.ts';
import { fileSource } from '../../workers/decode/node-source.ts';
import { encoded } from '../../tests/fixtures/ffmpeg.ts';
import { floatWav, seeded } from '../../tests/fixtures/signal.ts';

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

/** A minute of thuds about half a second apart, each early or late by up to a share of that. */
function thuds(name: string, uneven: number): string {
  const [rate, seconds] = [44100, 60];
  const samples = new Float32Array(rate * seconds);
  const random = seeded(12345);
  for (let at = 0.5; at < seconds - 1; at += 0.5 * (1 + uneven * (2 * random() - 1))) {
    const first = Math.round(at * rate);
    for (let i = 0; i < 8000; i++)
      samples[first + i] +=
        0.6 * Math.exp(-i / 1500) * Math.sin(((2 * Math.PI * 60 * i) / rate) * (1 + 2 * Math.exp(-i / 400)));
  }
  return written(name, floatWav([samples], rate));
}

/** How uneven a pulse has to be for that; looked for once. */
let unsureFrom: Promise<number> | null = null;

async function lookForUnsure(name: string): Promise<number> {
  for (let uneven = 0.04; uneven < 0.2; uneven += 0.01) {
    const source = await fileSource(thuds(name, uneven));
    const { grid } = (await analyseTrack(source)).analysis;
    await source.close();
    if (grid && isUnsure(grid.confidence)) return uneven;
  }
  throw new Error('No pulse is unsure to the analysis: take others for this test.');
}

/** The first of ever less even pulses that the analysis finds a grid for without being sure of it. */
export async function unsurePulse(name: string): Promise<string> {
  unsureFrom ??= lookForUnsure(name);
  return thuds(name, await unsureFrom);
}
