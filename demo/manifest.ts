/** The list of the rendered set that the page reads. */
import { readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { Truth } from './truth.ts';

export const MANIFEST_VERSION = 1;
export const MANIFEST_FILE = 'manifest.json';

export interface ManifestTrack {
  id: string;
  /** Name of the audio file, beside the manifest */
  file: string;
  title: string;
  artist: string;
  genre: string;
  /** s */
  duration: number;
  /** Size of the audio file */
  bytes: number;
  /** Name of the file with the ground truth */
  truth: string;
  /** Name of the file with the finished analysis, its size, the audio's SHA-256 and its tags */
  analysis: string;
  analysisBytes: number;
  hash: string;
  tags: unknown;
}

export interface Manifest {
  version: number;
  /** Of all that the set was made from */
  fingerprint: string;
  tracks: ManifestTrack[];
}

/** `<id>.truth.json`: the ground truth, and what the audio beside it was made from. */
export interface TruthFile {
  /** Of the sources of the audio alone */
  fingerprint: string;
  /** Size of the audio file */
  bytes: number;
  id: string;
  title: string;
  artist: string;
  genre: string;
  truth: Truth;
}

/** The JSON in a file, or null where there is no such file or none that can be read. */
export async function readJson<T>(path: string): Promise<T | null> {
  try {
    return JSON.parse(await readFile(path, 'utf8')) as T;
  } catch {
    return null;
  }
}

/** Size of a file in bytes, or null. */
export async function sizeOf(path: string): Promise<number | null> {
  return stat(path).then(
    (info) => (info.isFile() ? info.size : null),
    () => null,
  );
}

/** True when the set in `folder` is whole and was made from what `fingerprint` stands for. */
export async function isComplete(folder: string, fingerprint: string): Promise<boolean> {
  const manifest = await readJson<Manifest>(join(folder, MANIFEST_FILE));
  if (manifest?.version !== MANIFEST_VERSION || manifest.fingerprint !== fingerprint) return false;
  for (const track of manifest.tracks) {
    if ((await sizeOf(join(folder, track.file))) !== track.bytes) return false;
    if ((await sizeOf(join(folder, track.analysis))) !== track.analysisBytes) return false;
    if ((await sizeOf(join(folder, track.truth))) === null) return false;
  }
  return true;
}
