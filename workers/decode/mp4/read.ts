/**
 * MP4, M4A and QuickTime with AAC or ALAC. ISO/IEC 14496-12 (boxes), 14496-14 (MP4), 14496-1 (esds);
 * ALAC in MP4: ALACMagicCookieDescription.txt of https://github.com/macosforge/alac
 */
import { parseCookie } from '../alac/cookie.ts';
import { parseAsc } from '../aac/config.ts';
import { openAac } from '../aac/reading.ts';
import type { OpenReading, Reading, Run } from '../reading.ts';
import { damaged, noAudioTrack, protectedFile, unsupportedCodec } from '../sentences.ts';
import { DecodeFault, type ByteSource } from '../types.ts';
import { decodeAlac } from './alac.ts';
import { topBoxes } from './boxes.ts';
import { fragmentDefaults, readFragments } from './fragments.ts';
import { readPackets } from './packets.ts';
import { audioTrack, type AudioTrack } from './track.ts';

/** Tables of a day of audio, with covers, stay far below this. */
const MOST_MOOV_BYTES = 256 * 1024 * 1024;

/** Object types that are AAC: MPEG-4, and MPEG-2 main, LC and SSR. https://mp4ra.org/registered-types/object-types */
const AAC_TYPES = [0x40, 0x66, 0x67, 0x68];
const OBJECT_NAMES: Record<number, string> = {
  0x69: 'MP3 in MP4',
  0x6b: 'MP3 in MP4',
  0xa5: 'AC-3',
  0xa6: 'E-AC-3',
  0xa9: 'DTS',
};
const ENTRY_NAMES: Record<string, string> = {
  'ac-3': 'AC-3',
  'ec-3': 'E-AC-3',
  'ac-4': 'AC-4',
  dtsc: 'DTS',
  dtsh: 'DTS-HD',
  dtsl: 'DTS-HD',
  Opus: 'Opus in MP4',
  fLaC: 'FLAC in MP4',
  samr: 'AMR',
  '.mp3': 'MP3 in MP4',
  mp4a: 'an unknown kind of MPEG-4 audio',
};
const PROTECTED = ['drms', 'enca'];

async function findTrack(source: ByteSource, start: number): Promise<AudioTrack> {
  for await (const top of topBoxes(source, start)) {
    if (top.type !== 'moov') continue;
    if (top.end - top.start > MOST_MOOV_BYTES || top.end > source.size) break;
    const b = await source.read(top.start, top.end);
    const moov = { type: 'moov', start: 0, end: b.length };
    const track = audioTrack(b, moov);
    if (!track) throw new DecodeFault('unsupported-codec', noAudioTrack(source.name));
    const defaults = fragmentDefaults(b, moov, track.id);
    if (defaults) track.duration += await readFragments(source, start, track.id, defaults, track.packets);
    return track;
  }
  // The table of contents is missing, as in a file whose end was cut off: nothing can be found without it.
  throw new DecodeFault('damaged', damaged(source.name));
}

function durationOf(track: AudioTrack): number | null {
  const rest = Math.max(0, track.duration - track.skip);
  const ticks = track.keep === null ? rest : Math.min(rest, track.keep);
  return ticks > 0 ? ticks / track.timescale : null;
}

const mean = (track: AudioTrack) =>
  track.duration > 0
    ? Math.round((track.packets.sizes.reduce((n, x) => n + x, 0) * 8 * track.timescale) / track.duration)
    : null;

async function aacReading(source: ByteSource, track: AudioTrack): Promise<Reading> {
  const config = track.config ? parseAsc(track.config) : null;
  if (!config) throw new DecodeFault('damaged', damaged(source.name));
  const declared = durationOf(track);
  const opened = await openAac(source.name, {
    config,
    packets: (run: Run) => readPackets(source, track.packets, run),
    skip: track.skip / track.timescale,
    keep: declared,
  });
  return {
    format: {
      container: 'm4a',
      codec: 'aac',
      lossless: false,
      sampleRate: opened.sampleRate,
      channels: opened.channels,
      bitDepth: null,
      bitrate: mean(track),
    },
    declaredDuration: declared,
    durationIsExact: true,
    decode: opened.decode,
  };
}

function alacReading(source: ByteSource, track: AudioTrack): Reading {
  const cookie = track.config ? parseCookie(track.config) : null;
  if (!cookie) throw new DecodeFault('damaged', damaged(source.name));
  return {
    format: {
      container: 'm4a',
      codec: 'alac',
      lossless: true,
      sampleRate: cookie.sampleRate,
      channels: cookie.channels,
      bitDepth: cookie.bitDepth,
      bitrate: mean(track),
    },
    declaredDuration: durationOf(track),
    durationIsExact: true,
    decode: (run) => decodeAlac(source, track, cookie, run),
  };
}

export const openMp4: OpenReading = async (source, start) => {
  const track = await findTrack(source, start);
  if (PROTECTED.includes(track.entry)) throw new DecodeFault('protected', protectedFile(source.name));
  if (track.entry === 'alac') return alacReading(source, track);
  if (track.entry === 'mp4a' && (track.objectType === null || AAC_TYPES.includes(track.objectType)))
    return aacReading(source, track);
  const codec =
    (track.objectType !== null ? OBJECT_NAMES[track.objectType] : undefined) ??
    ENTRY_NAMES[track.entry] ??
    `“${track.entry}”`;
  throw new DecodeFault('unsupported-codec', unsupportedCodec(source.name, codec));
};
