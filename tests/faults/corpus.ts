/** Sound files of every kind that is read here, short, with tags and markers in those that carry them. */
import { bytesSource } from '../../workers/decode/source.ts';
import { writeMarkersCopy } from '../../workers/write/copy.ts';
import { bytesOfCopy, joinBytes } from '../../workers/write/parts.ts';
import { bytesOf, encoded, signalWav } from '../fixtures/ffmpeg.ts';
import type { Marker } from '../../shared/markers/marker.ts';

export const SECONDS = 0.3;
const RATE = 22050;
const TAGS = ['-metadata', 'title=Slow Lamp', '-metadata', 'artist=Marl Quay', '-metadata', 'TBPM=124'];

const KINDS: readonly (readonly [name: string, args: readonly string[], marked?: boolean])[] = [
  ['pcm16.wav', ['-c:a', 'pcm_s16le'], true],
  ['pcm24.wav', ['-c:a', 'pcm_s24le']],
  ['float.wav', ['-c:a', 'pcm_f32le']],
  ['big.aiff', [], true],
  ['little.aifc', ['-c:a', 'pcm_s16le', '-f', 'aiff']],
  ['lossless.flac', ['-sample_fmt', 's16'], true],
  ['lossy.mp3', ['-b:a', '96k'], true],
  ['varying.mp3', ['-q:a', '4', '-id3v2_version', '4']],
  ['vorbis.ogg', ['-c:a', 'libvorbis'], true],
  ['flac.ogg', ['-c:a', 'flac', '-sample_fmt', 's16']],
  ['opus.opus', [], true],
  ['alac.m4a', ['-c:a', 'alac', '-sample_fmt', 's16p', '-movflags', '+faststart']],
  ['aac.m4a', ['-movflags', '+faststart']],
  ['end.m4a', []],
  ['raw.aac', []],
];

export const MARKERS: Marker[] = [
  { kind: 'cue', id: 'c1', time: 0.05, name: 'First kick', importance: 3, slot: 1, colour: null },
  { kind: 'mark', id: 'm1', time: 0.11, name: 'Break – ende', importance: 2 },
];

export interface Sample {
  name: string;
  bytes: Uint8Array;
}

/** Made by ffmpeg once and kept; markers are written by our own writers. */
export async function corpus(): Promise<Sample[]> {
  const samples: Sample[] = [];
  for (const [name, args, marked] of KINDS) {
    let bytes = bytesOf(encoded(signalWav(RATE, 2, SECONDS), name, [...args, ...TAGS]));
    if (marked) {
      const context = {
        fileName: name,
        duration: SECONDS,
        title: 'Slow Lamp',
        artist: null,
        audioName: name,
      };
      const source = bytesSource(bytes, name);
      const copy = await writeMarkersCopy(source, MARKERS, context);
      const pieces: Uint8Array[] = [];
      for await (const piece of bytesOfCopy(source, copy)) pieces.push(piece);
      bytes = joinBytes(pieces);
    }
    samples.push({ name, bytes });
  }
  return samples;
}
