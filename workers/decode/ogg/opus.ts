/** Opus in Ogg. RFC 7845 (mapping into Ogg), RFC 6716 (the codec, by libopus in `@audio/decode-opus`). */
import { createOpusDecoder } from '@audio/decode-opus/core';
import { quietly } from '../quiet.ts';
import type { Run } from '../reading.ts';
import type { Block } from '../types.ts';
import type { Page } from './pages.ts';
import { WAV_ORDER, type OpusHead } from './streams.ts';

/** Hz: Opus always decodes to this rate. */
export const OPUS_RATE = 48_000;
/** OpusHead and OpusTags. */
const HEADER_PACKETS = 2;
/** s: longest stretch of lost audio that is filled with silence */
const LONGEST_FILL = 60;

/** Frame lengths by configuration, samples at 48 kHz. RFC 6716 table 2. */
const SILK = [480, 960, 1920, 2880];
const HYBRID = [480, 960];
const CELT = [120, 240, 480, 960];

/** Samples at 48 kHz in a packet, from its first bytes. RFC 6716 section 3.1. */
export function packetSamples(packet: Uint8Array): number {
  if (packet.length === 0) return 0;
  const config = packet[0] >> 3;
  const frame = config < 12 ? SILK[config & 3] : config < 16 ? HYBRID[config & 1] : CELT[config & 3];
  const code = packet[0] & 3;
  const count = code === 0 ? 1 : code < 3 ? 2 : (packet[1] ?? 0) & 63;
  return frame * count;
}

const cut = (block: Block, from: number, to: number): Block => block.map((x) => x.subarray(from, to));

/** Decodes the pages of one stream; `pages` begins with its first page. */
export async function* decodeOpus(
  pages: AsyncGenerator<Page, void, void>,
  head: OpusHead,
  run: Run,
): AsyncGenerator<Block, void, void> {
  const decoder = await createOpusDecoder();
  const order = WAV_ORDER[head.channels] ?? head.mapping.map((_, i) => i);
  try {
    decoder.configure({
      sampleRate: OPUS_RATE,
      channels: head.channels,
      streamCount: head.streamCount,
      coupledStreamCount: head.coupledCount,
      channelMappingTable: order.map((i) => head.mapping[i]),
      // The pre-skip is dropped below, where the granule positions are at hand.
      preSkip: 0,
      outputGain: head.outputGain,
    });
    let headers = HEADER_PACKETS;
    let origin: number | null = null;
    let position = 0;
    for await (const page of pages) {
      const packets = page.packets.slice(Math.min(headers, page.packets.length));
      headers -= page.packets.length - packets.length;
      if (packets.length === 0) continue;
      const expected = packets.reduce((n, p) => n + packetSamples(p), 0);
      // A stream may begin at any granule position (RFC 7845 section 4.3), but a last page may also be cut short.
      if (origin === null)
        origin = page.granule === null || page.isLast ? 0 : Math.max(0, page.granule - expected);
      const pageEnd = page.granule === null ? null : page.granule - origin;
      if (page.afterGap) {
        run.damaged();
        const missing = pageEnd === null ? 0 : pageEnd - expected - position;
        if (missing > 0 && missing <= LONGEST_FILL * OPUS_RATE) {
          yield Array.from({ length: head.channels }, () => new Float32Array(missing));
          position += missing;
        }
      }
      const { result } = quietly(() => decoder.decodeFrames(packets));
      if (!result || result.errors.length > 0) run.damaged();
      if (!result || result.samplesDecoded === 0) continue;
      let block: Block = result.channelData;
      const begin = position;
      position += block[0].length;
      // End trimming: the last page's granule position may lie before the end of its last packet (section 4.4).
      if (page.isLast && pageEnd !== null && pageEnd < position)
        block = cut(block, 0, Math.max(0, pageEnd - begin));
      if (begin < head.preSkip)
        block = cut(block, Math.min(block[0].length, head.preSkip - begin), block[0].length);
      if (block[0].length > 0) yield block;
    }
  } finally {
    decoder.free();
  }
}
