/** ALAC packets of an MP4 file to blocks. */
import type { AlacCookie } from '../alac/cookie.ts';
import { AlacDecoder } from '../alac/decoder.ts';
import type { Run } from '../reading.ts';
import type { Block, ByteSource } from '../types.ts';
import { readPackets } from './packets.ts';
import type { AudioTrack } from './track.ts';

/** Decodes the track; a packet that cannot be read comes out as silence, so that what follows keeps its place. */
export async function* decodeAlac(
  source: ByteSource,
  track: AudioTrack,
  cookie: AlacCookie,
  run: Run,
): AsyncGenerator<Block, void, void> {
  const decoder = new AlacDecoder(cookie);
  const rate = cookie.sampleRate / track.timescale;
  let skip = Math.round(track.skip * rate);
  let left = track.keep === null ? Infinity : Math.round(track.keep * rate);
  for await (const batch of readPackets(source, track.packets, run)) {
    for (const packet of batch) {
      let block: Block;
      try {
        block = decoder.packet(packet);
      } catch {
        run.damaged();
        block = Array.from({ length: cookie.channels }, () => new Float32Array(cookie.frameLength));
      }
      const length = block[0].length;
      const from = Math.min(skip, length);
      const to = Math.min(length, from + left);
      skip -= from;
      left -= to - from;
      if (to > from) yield from === 0 && to === length ? block : block.map((x) => x.slice(from, to));
    }
    if (left <= 0) break;
  }
}
