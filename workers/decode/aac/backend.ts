/** The two decoders of AAC that there are: the browser's WebCodecs, and under Node a Web Audio implementation. */
import type { Block } from '../types.ts';
import type { AacConfig } from './config.ts';

/** Decoded audio with the rate that it turned out to have. */
export interface AacBlock {
  sampleRate: number;
  block: Block;
}

export interface AacBackend {
  /**
   * Decodes packets in order. Samples come out for every packet from the first one on (1024 each, or 2048 with SBR);
   * nothing is trimmed. Unreadable packets come out as silence and are reported.
   * @param packets batches of packets
   */
  decode(
    packets: AsyncIterable<Uint8Array[]>,
    config: AacConfig,
    damaged: () => void,
  ): AsyncGenerator<AacBlock>;
}

/** The decoder for this place, or null where there is none that takes the stream. */
export async function aacBackend(config: AacConfig): Promise<AacBackend | null> {
  if (typeof AudioDecoder !== 'undefined') {
    const { webCodecsBackend } = await import('./web-codecs.ts');
    return webCodecsBackend(config);
  }
  if (typeof process !== 'undefined' && process.versions?.node) {
    const { nodeBackend } = await import('./node.ts');
    return nodeBackend(config);
  }
  return null;
}
