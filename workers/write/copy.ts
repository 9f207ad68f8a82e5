/** Copies of audio files that carry markers, and the markers that a file carries. */
import { ExchangeFault, type ExchangeContext } from '../../shared/exchange/types.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import { sniff as isAiff } from '../decode/aiff/sniff.ts';
import { sniff as isAdts } from '../decode/adts/sniff.ts';
import { sniff as isFlac } from '../decode/flac/sniff.ts';
import { skipId3v2 } from '../decode/id3.ts';
import { sniff as isMp3 } from '../decode/mp3/sniff.ts';
import { sniff as isMp4 } from '../decode/mp4/sniff.ts';
import { sniff as isOgg } from '../decode/ogg/sniff.ts';
import { damaged, empty, notAudio } from '../decode/sentences.ts';
import { guarded } from '../decode/source.ts';
import { DecodeFault, type ByteSource } from '../decode/types.ts';
import { sniff as isWav } from '../decode/wav/sniff.ts';
import { readMarkers as readAiff } from './aiff/read-markers.ts';
import { writeMarkers as writeAiff } from './aiff/write-markers.ts';
import { readMarkers as readFlac } from './flac/read-markers.ts';
import { writeMarkers as writeFlac } from './flac/write-markers.ts';
import { readMarkers as readMp3 } from './mp3/read-markers.ts';
import { writeMarkers as writeMp3 } from './mp3/write-markers.ts';
import { readMarkers as readOgg } from './ogg/read-markers.ts';
import { writeMarkers as writeOgg } from './ogg/write-markers.ts';
import { noPlace } from './sentences.ts';
import type { FileMarkers, MarkersCopy, ReadFileMarkers, WriteMarkers, WriteWish } from './types.ts';
import { readMarkers as readWav } from './wav/read-markers.ts';
import { writeMarkers as writeWav } from './wav/write-markers.ts';

/** bytes that are looked at to tell the format, as in `workers/decode/open.ts` */
const HEAD = 128 * 1024;

export type MarkerContainer = 'wav' | 'aiff' | 'flac' | 'ogg' | 'mp3';

interface Container {
  id: MarkerContainer;
  sniff(head: Uint8Array, isWholeFile: boolean): boolean;
  read: ReadFileMarkers;
  write: WriteMarkers;
}

const CONTAINERS: readonly Container[] = [
  { id: 'wav', sniff: isWav, read: readWav, write: writeWav },
  { id: 'aiff', sniff: isAiff, read: readAiff, write: writeAiff },
  { id: 'flac', sniff: isFlac, read: readFlac, write: writeFlac },
  { id: 'ogg', sniff: isOgg, read: readOgg, write: writeOgg },
  { id: 'mp3', sniff: isMp3, read: readMp3, write: writeMp3 },
];

async function containerOf(source: ByteSource): Promise<{ container: Container; start: number }> {
  if (source.size === 0) throw new DecodeFault('empty', empty(source.name));
  const start = await skipId3v2(source);
  const head = await source.read(start, start + HEAD);
  if (head.length === 0) throw new DecodeFault('damaged', damaged(source.name));
  const whole = start + head.length >= source.size;
  // The order of `workers/decode/open.ts`: formats with a signature first.
  const found = CONTAINERS.find((c) => c.id !== 'mp3' && c.sniff(head, whole));
  if (found) return { container: found, start };
  if (isMp4(head)) throw new ExchangeFault(noPlace(source.name, 'an M4A file'));
  if (isAdts(head, whole)) throw new ExchangeFault(noPlace(source.name, 'an AAC file'));
  const last = CONTAINERS[CONTAINERS.length - 1];
  if (last.sniff(head, whole)) return { container: last, start };
  throw new DecodeFault('not-audio', notAudio(source.name, null));
}

/**
 * Plans a copy of the file in which `markers` stand instead of whatever markers it has. The original is only read,
 * and the audio's bytes are the same in the copy.
 * @param context `duration` is the track's, s
 * @throws ExchangeFault when the file cannot carry markers or they cannot be written, DecodeFault when it cannot be read
 */
export async function writeMarkersCopy(
  source: ByteSource,
  markers: readonly Marker[],
  context: ExchangeContext,
  wish: WriteWish = {},
): Promise<MarkersCopy> {
  const safe = guarded(source);
  const { container, start } = await containerOf(safe);
  return container.write(safe, start, markers, context, wish);
}

/**
 * The markers that a file carries; none is an empty list.
 * @throws DecodeFault when the file cannot be read, ExchangeFault when there are more than a track can have
 */
export async function readMarkers(
  source: ByteSource,
  context: ExchangeContext,
): Promise<FileMarkers & { container: MarkerContainer }> {
  const safe = guarded(source);
  const { container, start } = await containerOf(safe);
  return { ...(await container.read(safe, start, context)), container: container.id };
}
