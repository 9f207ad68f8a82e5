/** A track's samples in the rate and channels of a copy. */
import { openTrack } from '../decode/open.ts';
import type { ByteSource, OpenTrack } from '../decode/types.ts';
import { createKeepFinite } from '../stages/finite.ts';
import { Resampler } from './resample.ts';

export interface SamplesOptions {
  rate: number;
  /** At most the track's; the first ones are taken. */
  channels: number;
  signal?: AbortSignal;
  onProgress?: (share: number) => void;
  /** Sees every decoded block before it is resampled. */
  onSource?: (block: readonly Float32Array[]) => void;
}

/** Opens the file anew and runs through it. The track comes first, for its format and what is partial of it. */
export async function openSamples(
  source: ByteSource,
  { rate, channels, signal, onProgress, onSource }: SamplesOptions,
): Promise<{ track: OpenTrack; blocks: AsyncGenerator<Float32Array[], void, void> }> {
  const track = await openTrack(source, { signal, onProgress });
  const from = track.format.sampleRate;
  async function* blocks(): AsyncGenerator<Float32Array[], void, void> {
    const keepFinite = createKeepFinite();
    const resampler = from === rate ? null : new Resampler(from, rate, channels);
    for await (const whole of track.blocks()) {
      signal?.throwIfAborted();
      keepFinite(whole);
      const block = whole.slice(0, channels);
      onSource?.(block);
      const made = resampler ? resampler.push(block) : block;
      if (made[0].length > 0) yield made;
    }
    const rest = resampler?.finish();
    if (rest && rest[0].length > 0) yield rest;
  }
  return { track, blocks: blocks() };
}
