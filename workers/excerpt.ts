/** A short stretch of a track's sound, sample by sample, for looking at it from near. */
import { noAudioTrack } from './decode/sentences.ts';
import { DecodeFault, type OpenTrack } from './decode/types.ts';
import { keepFinite } from './stages/finite.ts';

/** Longest excerpt, s: a bound for the page's memory. */
export const LONGEST_EXCERPT = 60;

export interface Excerpt {
  /** Mono, linear; fewer than asked for where the track ends. */
  samples: Float32Array<ArrayBuffer>;
  /** Hz */
  sampleRate: number;
  /** Time of the first sample in the track, s. */
  startTime: number;
}

/**
 * Reads `seconds` from `startTime` on, and no further. What comes before has to be decoded too, because most
 * formats build on it.
 * @throws DecodeFault when the file cannot be read
 */
export async function readExcerpt(
  track: OpenTrack,
  name: string,
  startTime: number,
  seconds: number,
): Promise<Excerpt> {
  const { sampleRate } = track.format;
  const from = Math.max(0, Math.round(startTime * sampleRate));
  const length = Math.max(0, Math.round(Math.min(seconds, LONGEST_EXCERPT) * sampleRate));
  const samples = new Float32Array(length);
  let filled = 0;
  let position = 0;
  for await (const block of track.blocks()) {
    const count = block[0]?.length ?? 0;
    const first = Math.max(0, from - position);
    const last = Math.min(count, from + length - position);
    if (first < last) {
      keepFinite(block);
      mixInto(samples, position + first - from, block, first, last);
      filled = position + last - from;
    }
    position += count;
    if (position >= from + length) break;
  }
  if (!position) throw new DecodeFault('empty', noAudioTrack(name));
  return { samples: samples.slice(0, filled), sampleRate, startTime: from / sampleRate };
}

/** Weights that sum to 1 and differ, so that channels of opposite sign do not cancel: the first counts twice. */
function mixInto(
  mono: Float32Array,
  at: number,
  block: readonly Float32Array[],
  first: number,
  last: number,
): void {
  block.forEach((channel, c) => {
    const weight = block.length === 1 ? 1 : (c === 0 ? 2 : 1) / (block.length + 1);
    for (let i = first; i < last; i++) mono[at + i - first] += weight * channel[i];
  });
}
