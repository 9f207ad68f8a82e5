/**
 * Vorbis in Ogg. Vorbis I specification, https://xiph.org/vorbis/doc/Vorbis_I_spec.html (appendix A: granule positions).
 * libvorbis comes in `@audio/decode-vorbis`; packets go straight to it, because the package's own Ogg parser hands
 * out a page late and loses the last one of a file that is cut short.
 */
import { decoder as createDecoder } from '@audio/decode-vorbis';
import { quietly } from '../quiet.ts';
import type { Run } from '../reading.ts';
import type { Block } from '../types.ts';
import type { Page } from './pages.ts';
import { WAV_ORDER, type VorbisHead } from './streams.ts';

/** s: longest stretch of lost audio that is filled with silence */
const LONGEST_FILL = 60;
/** First bytes of the header packets; audio packets are even. */
const IDENTIFICATION = 1;
const SETUP = 5;
/** The package's buffer for one packet, bytes. */
const LONGEST_PACKET = 128 * 1024;

/** The part of the package that takes packets. */
interface PacketDecoder {
  sendSetupHeader(packet: Uint8Array): void;
  initDsp(): void;
  decodePackets(packets: Uint8Array[]): { channelData: Float32Array[]; samplesDecoded: number };
}

function packetDecoder(upstream: object): PacketDecoder {
  const inner = (upstream as { _decoder?: Partial<PacketDecoder> })._decoder;
  // The package's version is pinned; a newer one must be looked at before it is taken.
  if (!inner?.sendSetupHeader || !inner.initDsp || !inner.decodePackets)
    throw new Error('@audio/decode-vorbis has changed inside');
  return inner as PacketDecoder;
}

/** Decodes the pages of one stream; `pages` begins with its first page. */
export async function* decodeVorbis(
  pages: AsyncGenerator<Page, void, void>,
  head: VorbisHead,
  run: Run,
): AsyncGenerator<Block, void, void> {
  const upstream = await createDecoder();
  const decoder = packetDecoder(upstream);
  const order = WAV_ORDER[head.channels] ?? Array.from({ length: head.channels }, (_, i) => i);
  let ready = false;
  let begun = false;
  let origin = 0;
  let position = 0;
  let gap = false;

  const decodePage = (packets: Uint8Array[]): Block | null => {
    const audio: Uint8Array[] = [];
    for (const packet of packets) {
      if (packet.length === 0 || packet.length > LONGEST_PACKET) continue;
      const kind = packet[0];
      if (kind % 2 === 0) audio.push(packet);
      else if (!ready && (kind === IDENTIFICATION || kind === SETUP)) {
        decoder.sendSetupHeader(packet);
        if (kind === SETUP) {
          decoder.initDsp();
          ready = true;
        }
      }
    }
    if (!ready || audio.length === 0) return null;
    const { channelData, samplesDecoded } = decoder.decodePackets(audio);
    return samplesDecoded > 0 && channelData.length === head.channels
      ? order.map((i) => channelData[i])
      : null;
  };

  try {
    for await (const page of pages) {
      gap ||= page.afterGap;
      const { result, complaints } = quietly(() => decodePage(page.packets));
      if (complaints > 0) run.damaged();
      let block = result;
      if (!block) continue;
      let length = block[0].length;
      if (gap) run.damaged();
      if (!begun) {
        begun = true;
        const before = page.granule === null ? 0 : page.granule - length;
        if (before > 0 && !gap) origin = before;
        else if (before < 0 && !page.isLast) {
          // Samples before position 0 are not to be played.
          block = block.map((x) => x.subarray(-before));
          length = block[0].length;
        }
      }
      const end = page.granule === null ? null : page.granule - origin;
      if (gap && end !== null) {
        const missing = end - length - position;
        if (missing > 0 && missing <= LONGEST_FILL * head.sampleRate) {
          yield block.map(() => new Float32Array(missing));
          position += missing;
        }
      }
      gap = false;
      const surplus = page.isLast && end !== null ? position + length - end : 0;
      if (surplus > 0) block = block.map((x) => x.subarray(0, Math.max(0, length - surplus)));
      position += block[0].length;
      if (block[0].length > 0) yield block;
    }
  } finally {
    upstream.free();
  }
}
