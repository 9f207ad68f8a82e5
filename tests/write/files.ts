/** Audio files that ffmpeg makes, and what other programs say of a copy. */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseBuffer } from 'music-metadata';
import type { Marker } from '../../shared/markers/marker.ts';
import { bytesSource } from '../../workers/decode/source.ts';
import { readMarkers, writeMarkersCopy } from '../../workers/write/copy.ts';
import { bytesOfCopy, joinBytes } from '../../workers/write/parts.ts';
import type { WriteWish } from '../../workers/write/types.ts';
import { bytesOf, encoded, signalWav } from '../fixtures/ffmpeg.ts';

export const SECONDS = 1.5;

const META = ['title=Night Ferry – dub', 'artist=Lena Quay', 'comment=kept'].flatMap((m) => ['-metadata', m]);
const BARE = ['-map_metadata', '-1', '-fflags', '+bitexact', '-flags:a', '+bitexact'];

export interface Kind {
  file: string;
  args: string[];
}

const kind = (file: string, ...args: string[]): Kind => ({ file, args });

/** One of each container, with and without tags of its own. */
export const KINDS: Kind[] = [
  kind('w16.wav', '-c:a', 'pcm_s16le', ...META),
  kind('w8.wav', '-c:a', 'pcm_u8', '-ac', '1', '-t', '1.0001', ...BARE),
  kind('rf64.wav', '-c:a', 'pcm_s24le', '-rf64', 'always', ...META),
  kind('a16.aiff', '-c:a', 'pcm_s16be', '-write_id3v2', '1', ...META),
  kind('a23.aiff', '-c:a', 'pcm_s16be', '-write_id3v2', '1', '-id3v2_version', '3', ...META),
  kind('bare.aiff', '-c:a', 'pcm_s24be', ...BARE),
  kind('v23.mp3', '-b:a', '128k', '-id3v2_version', '3', '-write_id3v1', '1', ...META),
  kind('v24.mp3', '-q:a', '4', '-id3v2_version', '4', ...META),
  kind('bare.mp3', '-b:a', '96k', '-id3v2_version', '0', ...BARE),
  kind('f16.flac', '-sample_fmt', 's16', ...META),
  kind('bare.flac', '-sample_fmt', 's32', ...BARE),
  kind('vorbis.ogg', '-c:a', 'libvorbis', ...META),
  kind('bare.ogg', '-c:a', 'libvorbis', ...BARE),
  kind('opus.opus', '-c:a', 'libopus', '-ar', '48000', ...META),
  kind('flac.oga', '-c:a', 'flac', '-sample_fmt', 's16', ...META),
];

export const original = ({ file, args }: Kind): Uint8Array =>
  bytesOf(encoded(signalWav(44100, 2, SECONDS), file, args));

export const contextOf = (fileName: string) => ({ fileName, duration: SECONDS });

export async function copyBytes(
  bytes: Uint8Array,
  name: string,
  markers: readonly Marker[],
  wish: WriteWish = {},
): Promise<{ bytes: Uint8Array; notes: string[] }> {
  const source = bytesSource(bytes, name);
  const copy = await writeMarkersCopy(source, markers, contextOf(name), wish);
  const pieces: Uint8Array[] = [];
  for await (const piece of bytesOfCopy(source, copy)) pieces.push(piece);
  const whole = joinBytes(pieces);
  if (whole.length !== copy.size) throw new Error(`The copy has ${whole.length} bytes, not ${copy.size}.`);
  return { bytes: whole, notes: copy.notes };
}

export const readBack = (bytes: Uint8Array, name: string) =>
  readMarkers(bytesSource(bytes, name), contextOf(name));

const FOLDER = fileURLToPath(new URL('../../.cache/write-tests/', import.meta.url));

/** A file of these bytes for programs that want one. */
export function onDisk(bytes: Uint8Array, name: string): string {
  mkdirSync(FOLDER, { recursive: true });
  const digest = createHash('sha256').update(bytes).digest('hex').slice(0, 12);
  const path = `${FOLDER}${digest}-${name}`;
  writeFileSync(path, bytes);
  return path;
}

/** Hash of what ffmpeg decodes. */
export const md5OfAudio = (path: string): string =>
  execFileSync('ffmpeg', ['-v', 'error', '-i', path, '-map', '0:a:0', '-f', 'md5', '-']).toString().trim();

/** Hash of the packets as they stand in the file, without decoding. */
export const md5OfPackets = (path: string): string =>
  execFileSync('ffmpeg', ['-v', 'error', '-i', path, '-map', '0:a:0', '-c', 'copy', '-f', 'md5', '-'])
    .toString()
    .trim();

interface Probed {
  start_time: string;
  end_time: string;
  tags?: { title?: string };
}

/** Chapters as ffprobe sees them, in order of start: s, s, title. */
export function probedChapters(path: string): { start: number; end: number; title: string }[] {
  const text = execFileSync('ffprobe', ['-v', 'error', '-show_chapters', '-of', 'json', path]).toString();
  const { chapters } = JSON.parse(text) as { chapters: Probed[] };
  return chapters
    .map((c) => ({ start: Number(c.start_time), end: Number(c.end_time), title: c.tags?.title ?? '' }))
    .sort((a, b) => a.start - b.start);
}

export const probedTags = (path: string): Record<string, string> => {
  const args = ['-v', 'error', '-show_entries', 'format_tags:stream_tags', '-of', 'json', path];
  const found = JSON.parse(execFileSync('ffprobe', args).toString()) as {
    format?: { tags?: Record<string, string> };
    streams?: { tags?: Record<string, string> }[];
  };
  const all = { ...found.streams?.[0]?.tags, ...found.format?.tags };
  return Object.fromEntries(
    Object.entries(all).flatMap(([k, v]) =>
      /^(title|artist|comment)$/i.test(k) ? [[k.toLowerCase(), v]] : [],
    ),
  );
};

export const parsed = (bytes: Uint8Array) => parseBuffer(bytes, undefined, { includeChapters: true });
