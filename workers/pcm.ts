/** A whole track as samples, for playing it: two channels at the player's rate. */
import { Resampler } from './copy/resample.ts';
import { noAudioTrack } from './decode/sentences.ts';
import { DecodeFault, type Block, type OpenTrack } from './decode/types.ts';
import { keepFinite } from './stages/finite.ts';

/** Longest track, s: two of them must fit in the memory of a page. */
export const LONGEST_TRACK = 30 * 60;
const STEREO = 2;

export interface TrackPcm {
  /** Left and right, linear. */
  channels: [Float32Array<ArrayBuffer>, Float32Array<ArrayBuffer>];
  /** Hz */
  sampleRate: number;
}

/**
 * @param sampleRate Hz; other rates are resampled, with sample 0 staying at time 0
 * @throws DecodeFault when the file cannot be read or is too long
 */
export async function readPcm(
  track: OpenTrack,
  name: string,
  sampleRate: number,
  signal?: AbortSignal,
): Promise<TrackPcm> {
  const { sampleRate: own } = track.format;
  const resampler = own === sampleRate ? null : new Resampler(own, sampleRate, STEREO);
  const parts: Float32Array<ArrayBufferLike>[][] = [];
  let frames = 0;
  const keep = (block: Float32Array<ArrayBufferLike>[]) => {
    if (!block[0].length) return;
    frames += block[0].length;
    if (frames > LONGEST_TRACK * sampleRate) throw new DecodeFault('unreadable', tooLong(name));
    parts.push(block);
  };
  for await (const block of track.blocks()) {
    signal?.throwIfAborted();
    keepFinite(block);
    const pair = toStereo(block);
    keep(resampler ? resampler.push(pair) : pair);
  }
  if (resampler && frames) keep(resampler.finish());
  if (!frames) throw new DecodeFault('empty', noAudioTrack(name));
  const channels: TrackPcm['channels'] = [new Float32Array(frames), new Float32Array(frames)];
  let at = 0;
  for (const part of parts) {
    channels.forEach((channel, c) => channel.set(part[c], at));
    at += part[0].length;
  }
  return { channels, sampleRate };
}

const tooLong = (name: string) =>
  `“${name}” is longer than ${LONGEST_TRACK / 60} minutes, which is too much to hold in memory for rehearsing: cut it, or rehearse with another track.`;

/** Channels beyond the second go to both sides at half their level. Blocks may be used again: what is kept is copied. */
function toStereo(block: Block): [Float32Array<ArrayBuffer>, Float32Array<ArrayBuffer>] {
  const left = new Float32Array(block[0]);
  const right = new Float32Array(block[1] ?? block[0]);
  for (const more of block.slice(STEREO)) {
    for (let i = 0; i < more.length; i++) {
      left[i] += more[i] / 2;
      right[i] += more[i] / 2;
    }
  }
  return [left, right];
}
