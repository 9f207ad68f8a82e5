/** Small WAV files in memory for the tests of the whole analysis. */
import { renderPattern } from '../../demo/pattern.ts';
import { encodeWav } from '../../demo/wav.ts';
import { bytesSource } from '../../workers/decode/source.ts';
import type { ByteSource } from '../../workers/decode/types.ts';
import { seededRandom } from './signals.ts';

export const BPM = 124;
export const TITLE = 'Test Loop';
export const ARTIST = 'Nobody At All';

/** A house pattern at BPM as a 16-bit WAV with tags. */
export function patternWav(seconds: number): Uint8Array<ArrayBuffer> {
  const { left, right, sampleRate } = renderPattern({ style: 'house', bpm: BPM, seconds, seed: 4 });
  return encodeWav(left, right, sampleRate, { INAM: TITLE, IART: ARTIST }, seededRandom(2));
}

export interface Read {
  start: number;
  end: number;
}

/** A source that notes what is read from it. */
export function watchedSource(bytes: Uint8Array, name: string): ByteSource & { reads: Read[] } {
  const source = bytesSource(bytes, name);
  const reads: Read[] = [];
  return {
    ...source,
    reads,
    read(start, end) {
      reads.push({ start, end: Math.min(end, bytes.length) });
      return source.read(start, end);
    },
  };
}
